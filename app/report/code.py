"""The digest of the record as a square code, to be read by any telephone and compared with the file.

Format: a QR code of ISO/IEC 18004, error correction M, that says "SHA256:" and the digest in capital
hexadecimal digits, which are signs of its short mode; drawn as rectangles.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from itertools import groupby
from typing import Any, Final

from app.report.pen import Pen

PREFIX: Final = "SHA256:"
# Format: the standard wants four modules of white around the code.
_QUIET: Final = 4

Run = tuple[int, int, int]


def draw(pen: Pen, digest_hex: str, x: float, top: float, side: float) -> None:
    """The code with its white margin in a square of that side, its upper left corner at (x, top)."""
    count, runs = modules(digest_hex)
    step = side / (count + 2 * _QUIET)
    x, top = x + _QUIET * step, top + _QUIET * step
    pen.fill_boxes([(x + start * step, top + row * step, length * step, step) for row, start, length in runs])


@functools.lru_cache(maxsize=64)
def modules(digest_hex: str) -> tuple[int, tuple[Run, ...]]:
    """Modules to a side, and every stretch of dark ones as (row, first, how many)."""
    # Imported when a frozen sheet is drawn: the library brings all its charts along.
    from reportlab.graphics.barcode import qrencoder

    code: Any = qrencoder.QRCode(None, qrencoder.QRErrorCorrectLevel.M)
    code.addData(f"{PREFIX}{digest_hex.upper()}")
    code.make()
    count: int = code.getModuleCount()
    return count, tuple(run for row in range(count) for run in _dark(code, row, count))


def _dark(code: Any, row: int, count: int) -> Iterator[Run]:
    at = 0
    for is_dark, group in groupby(code.isDark(row, column) for column in range(count)):
        length = len(list(group))
        if is_dark:
            yield row, at, length
        at += length
