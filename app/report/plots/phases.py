"""How the phases are told apart on every plot: line, marker, and the key over the plot. No colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.report.fonts import BOLD, face, fitted
from app.report.pen import Pen

STYLES: Final = ("solid", "dash", "dots")
CURVE_WIDTHS: Final = (1.1, 1.1, 1.6)
TICK_SIZE: Final = 7.0
# Room for a name behind a line of full length.
_ROOMY: Final = 60.0


def marker(pen: Pen, style: int, x: float, y: float, *, size: float) -> None:
    """An open marker: circle, square or triangle."""
    if style == 0:
        pen.disc(x, y, size, width=0.7, fill=1.0)
    elif style == 1:
        pen.box(x - size, y - size, 2 * size, 2 * size, width=0.7, fill=1.0)
    else:
        up = size * 1.25
        pen.path([(x, y - up), (x + up, y + size), (x - up, y + size)], width=0.7, closed=True, fill=1.0)


def legend(
    pen: Pen, x: float, y: float, entries: Sequence[tuple[str, int]], *, room: float, size: float = 8.0
) -> None:
    """The key in one line from (x, y) on: each name behind its line and marker, in its share of the room."""
    each = room / max(len(entries), 1)
    long, gap = (26.0, 12.0) if each >= _ROOMY else (15.0, 6.0)
    for label, style in entries:
        pen.path([(x, y), (x + long, y)], width=CURVE_WIDTHS[style], dashes=STYLES[style])
        marker(pen, style, x + long / 2.0, y, size=2.4)
        shown = fitted(label, BOLD, size, each - long - 4.0 - gap)
        pen.text(x + long + 4.0, y + 2.8, shown, font=BOLD, size=size)
        x += long + 4.0 + gap + face(BOLD).width(shown, size)
