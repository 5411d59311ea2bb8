"""Attached photographs as small grey pictures of the sheet."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Final

from app.report.blocks import Block
from app.report.pen import Pen

# At 58 points high 240 pixels are 300 to the inch.
_PIXELS: Final = (320, 240)
HEIGHT: Final = 58.0


class Thumbnail(Block):
    """A photograph in one ink; a file that no decoder takes leaves its place empty."""

    def __init__(self, data: bytes) -> None:
        self._picture = _grey(data)

    @property
    def shows(self) -> bool:
        """Whether there is anything to see."""
        return self._picture is not None

    def height(self, width: float) -> float:
        """As high as a thumbnail, where there is one."""
        return HEIGHT + 3.0 if self.shows else 0.0

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        """Draw it within its place, its sides in proportion."""
        if self._picture is None:
            return
        across, down, pixels = self._picture
        high = min(HEIGHT, width * down / across)
        pen.grey_picture(x, top, high * across / down, high, pixels=pixels, size=(across, down))


def _grey(data: bytes) -> tuple[int, int, bytes] | None:
    """Pixels across, pixels down, and their greys; None for what cannot be decoded."""
    from PIL import Image, ImageOps

    try:
        with Image.open(io.BytesIO(data)) as opened:
            # A JPEG decodes at an eighth where that is enough: a photograph of 40 megapixels costs little.
            opened.draft("L", _PIXELS)
            small = _small(opened, ImageOps.exif_transpose)
            return small.width, small.height, small.tobytes()
    except (OSError, ValueError, SyntaxError, EOFError, Image.DecompressionBombError):
        return None


def _small(opened, upright: Callable):  # type: ignore[no-untyped-def, type-arg]
    opened.thumbnail(_PIXELS)
    return upright(opened).convert("L")
