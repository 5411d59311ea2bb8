"""Small pictures for places that are filled in after a sheet was drawn: text in the faces of the sheet."""

from __future__ import annotations

from typing import Final

from app.report.blocks import Stack, words
from app.report.pen import Pen, Spot

_SIZES: Final = (8.5, 7.5, 6.5)
_PAD: Final = 1.5
# A picture has no date of its own; the signature around it has.
_UNDATED_EPOCH_S: Final = 946684800.0


def picture(text: str, spot: Spot) -> bytes | None:
    """The text as a PDF of one page of the size of the place; None where it does not fit in readable size."""
    width, height = spot.right - spot.left, spot.upper - spot.lower
    for size in _SIZES:
        block = Stack(*(words(line, size=size) for line in text.split("\n")))
        if block.height(width - 2 * _PAD) <= height - 2 * _PAD:
            pen = Pen(width, height)
            block.draw(pen, _PAD, _PAD, width - 2 * _PAD)
            pen.next_page()
            return pen.finish(title="", author="", producer="", issued_epoch_s=_UNDATED_EPOCH_S)
    return None
