"""The symbols of a hook-up, put on a board one by one.

Source: shapes of IEC 60617 as commonly drawn (winding of half circles, meters as circles with a letter,
earth, connecting link open and closed, resistor, cell, contact); from memory, since it could not be opened.
"""

from __future__ import annotations

from typing import Final

from ctcore.hookup.drawing import Arc, Board, Point, Stroke

RADIUS: Final = 17.0
_DOT: Final = 3.2


def terminal(board: Board, x: float, y: float) -> None:
    """A terminal: a small open circle."""
    board.arcs.append(ring(x, y, 4.5))


def joint(board: Board, x: float, y: float) -> None:
    """Where wires meet."""
    corners = ((x - _DOT, y), (x, y - _DOT), (x + _DOT, y), (x, y + _DOT))
    _filled(board, corners)


def winding(board: Board, x: float, top: float, bottom: float, *, count: int = 3) -> None:
    """A winding between two heights: half circles that bulge to the left of `x`."""
    radius = (bottom - top) / (2.0 * count)
    for index in range(count):
        center = top + radius * (2 * index + 1)
        board.arcs.append(Arc(x, center, radius, 90.0, 180.0))


def meter(board: Board, x: float, y: float, letter: str) -> None:
    """A measuring instrument: a circle with the sign of what it reads."""
    board.arcs.append(ring(x, y, RADIUS))
    board.say(x, y + 5.0, letter, "middle", is_bold=True)


def source(board: Board, x: float, y: float, *, is_adjustable: bool = True) -> None:
    """A source of alternating voltage or current; an arrow through it where it is raised by hand."""
    radius = RADIUS + 3.0
    board.arcs.append(ring(x, y, radius))
    board.arcs.append(Arc(x - 5.0, y, 5.0, 0.0, 180.0))
    board.arcs.append(Arc(x + 5.0, y, 5.0, 180.0, 180.0))
    if is_adjustable:
        end = radius + 7.0
        board.wire((x - end, y + end), (x + end, y - end))
        _filled(board, ((x + end, y - end), (x + end - 10.0, y - end + 4.0), (x + end - 4.0, y - end + 10.0)))


def cell(board: Board, x: float, y: float) -> None:
    """A direct source, plus on top: the long line is plus."""
    board.wire((x - 14.0, y - 4.0), (x + 14.0, y - 4.0))
    board.wire((x - 7.0, y + 4.0), (x + 7.0, y + 4.0), is_thick=True)
    board.say(x + 18.0, y - 6.0, "+", is_bold=True)


def earth(board: Board, x: float, y: float) -> None:
    """An earth that hangs from a point."""
    board.wire((x, y), (x, y + 12.0))
    for index, half in enumerate((13.0, 8.5, 4.0)):
        level = y + 12.0 + 5.0 * index
        board.wire((x - half, level), (x + half, level))


def resistor(board: Board, x: float, y: float, *, tall: float = 40.0, words: str = "") -> None:
    """An impedance on end, with its letter inside."""
    half, wide = tall / 2.0, 9.0
    board.wire((x - wide, y - half), (x + wide, y - half), (x + wide, y + half), (x - wide, y + half),
               (x - wide, y - half))  # fmt: skip
    if words:
        board.say(x, y + 5.0, words, "middle")


def link(board: Board, x: float, y: float, *, is_open: bool) -> None:
    """A connecting link that lies across: two terminals, with a bar between them or swung away."""
    for side in (-12.0, 12.0):
        terminal(board, x + side, y)
    if is_open:
        board.wire((x - 9.0, y - 3.0), (x + 9.0, y - 17.0), is_thick=True)
    else:
        board.wire((x - 7.5, y), (x + 7.5, y), is_thick=True)


def contact(board: Board, x: float, y: float) -> None:
    """A switch that is open, and makes."""
    board.wire((x - 14.0, y), (x + 10.0, y - 14.0))


def relay(board: Board, x: float, y: float, words: str) -> None:
    """A relay or meter as a box with its word."""
    wide, half = 30.0, 24.0
    board.wire((x - wide, y - half), (x + wide, y - half), (x + wide, y + half), (x - wide, y + half),
               (x - wide, y - half))  # fmt: skip
    board.say(x, y + 5.0, words, "middle")


def ring(x: float, y: float, radius: float) -> Arc:
    """A whole circle."""
    return Arc(x, y, radius)


def _filled(board: Board, corners: tuple[Point, ...]) -> None:
    board.strokes.append(Stroke(corners, is_filled=True))
