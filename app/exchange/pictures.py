"""What an attached file is, by its first bytes: kind, and of a picture its size before anything decodes it.

Practice: a small file can decode to gigabytes of pixels; the size in its header is looked at first.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import Final

from ctcore.errors import BadInput

MOST_PIXELS: Final = 40_000_000
MOST_BYTES: Final = 60_000_000
_PNG: Final = b"\x89PNG\r\n\x1a\n"
# Markers of JPEG that begin a frame and hold its size; C4, C8 and CC are no frames.
_FRAMES: Final = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_ALONE: Final = frozenset({0x01, *range(0xD0, 0xD9)})


@dataclass(frozen=True, slots=True)
class Kind:
    """The media type of a file, and of a picture its pixels across and down."""

    media_type: str
    width_px: int = 0
    height_px: int = 0


def kind_of(data: bytes, name: str = "file") -> Kind:
    """What the bytes are; `BadInput` for what is no PNG, JPEG or PDF, is damaged, or is too large.

    >>> kind_of(b"%PDF-1.7 ...").media_type
    'application/pdf'
    """
    if len(data) > MOST_BYTES:
        raise BadInput(name, None, f"it has {len(data)} bytes; at most {MOST_BYTES} are taken")
    if data[:5] == b"%PDF-":
        return Kind("application/pdf")
    found = _png(data) if data[:8] == _PNG else _jpeg(data) if data[:3] == b"\xff\xd8\xff" else None
    if found is None:
        raise BadInput(name, None, "it is no PNG, JPEG or PDF, or its beginning is damaged")
    if found.width_px < 1 or found.height_px < 1:
        raise BadInput(name, None, "the picture has no size")
    pixels = found.width_px * found.height_px
    if pixels > MOST_PIXELS:
        raise BadInput(
            name,
            None,
            f"the picture has {pixels / 1e6:.0f} megapixels; at most {MOST_PIXELS // 1_000_000} are taken",
        )
    return found


def _png(data: bytes) -> Kind | None:
    if len(data) < 33 or data[12:16] != b"IHDR":
        return None
    width, height = struct.unpack(">II", data[16:24])
    return Kind("image/png", width, height)


def _jpeg(data: bytes) -> Kind | None:
    at = 2
    while at + 4 <= len(data):
        if data[at] != 0xFF:
            return None
        marker = data[at + 1]
        if marker == 0xFF or marker in _ALONE:
            at += 1 if marker == 0xFF else 2
            continue
        length = int(struct.unpack(">H", data[at + 2 : at + 4])[0])
        if marker in _FRAMES:
            if at + 9 > len(data):
                return None
            height, width = struct.unpack(">HH", data[at + 5 : at + 9])
            return Kind("image/jpeg", width, height)
        if length < 2 or marker == 0xDA:
            return None
        at += 2 + length
    return None
