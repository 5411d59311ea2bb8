"""Pictures of the cells of the board: alike cells are drawn once, since a board shows hundreds of them."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetrics, QImage, QPainter, QPen

from app.desk.board import Line
from app.ui import marks, theme
from app.ui.marks import Mark

PITCH: Final = 40
MARK_HEIGHT: Final = 14
MARKS_LEFT: Final = 5
# Height of marks and words together; a taller row stands around them.
INK_HEIGHT: Final = 50
LEFT: Final = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
_RIGHT: Final = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)

# A mark and whether it is in doubt; None where a transformer has no such core.
Shown = tuple[tuple[Mark, bool] | None, ...]


@lru_cache(maxsize=256)
def cell_picture(
    shown: Shown,
    words: str,
    *,
    strong: bool,
    size: tuple[int, int],
    in_hand: bool,
    palette_name: str,  # noqa: ARG001 - tells pictures of day and night apart
    ratio: float,
) -> QImage:
    """The boxes of one test of one core with the words beneath."""
    wide, high = size
    made = QImage(int(wide * ratio), int(high * ratio), QImage.Format.Format_RGB32)
    made.setDevicePixelRatio(ratio)
    ground = theme.color("here_tint" if in_hand else "sheet")
    made.fill(ground)
    painter = QPainter(made)
    _edges(painter, wide, high)
    top = top_of(high)
    for place, entry in enumerate(shown):
        if entry is not None:
            _mark(painter, QRectF(MARKS_LEFT + place * PITCH, top, PITCH, 30), entry, ground)
    if words:
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("second", bold=strong))
        room = QRect(10, top + 30, wide - 14, 20)
        painter.drawText(room, LEFT, _cut(painter, words, room.width()))
    painter.end()
    return made


@lru_cache(maxsize=128)
def name_picture(
    words: str,
    second: str,
    *,
    size: tuple[int, int],
    palette_name: str,  # noqa: ARG001 - tells pictures of day and night apart
    ratio: float,
) -> QImage:
    """The name of a core and what tells it apart."""
    wide, high = size
    made = QImage(int(wide * ratio), int(high * ratio), QImage.Format.Format_RGB32)
    made.setDevicePixelRatio(ratio)
    made.fill(theme.color("sheet"))
    painter = QPainter(made)
    _edges(painter, wide, high)
    painter.setPen(theme.color("ink"))
    for role, top, shown in (("value", high // 2 - 23, words), ("second", high // 2 + 1, second)):
        painter.setFont(theme.font(role))
        painter.drawText(QRect(12, top, wide - 16, 22), LEFT, _cut(painter, shown, wide - 16))
    painter.end()
    return made


def paint_heading(painter: QPainter, box: QRectF, line: Line, *, name_width: int) -> None:
    """The heading of a position over all columns."""
    painter.fillRect(box, theme.color("band"))
    painter.setPen(theme.color("hairline"))
    painter.drawLine(box.bottomLeft(), box.bottomRight())
    painter.setPen(theme.color("ink"))
    font = theme.font("body", bold=True)
    painter.setFont(font)
    wide = max(name_width - 6, QFontMetrics(font).horizontalAdvance(line.words) + 24)
    painter.drawText(box.adjusted(12, 0, 0, 0), LEFT, line.words)
    painter.setFont(theme.font("second"))
    painter.drawText(box.adjusted(wide + 16, 0, 0, 0), LEFT, line.second)


def paint_frame(painter: QPainter, box: QRect, *, focused: bool) -> None:
    """The plum frame around the box in hand."""
    pen = QPen(theme.color("here"), 3 if focused else 2)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)


def top_of(high: int) -> int:
    """Where marks begin in a cell of that height."""
    return (high - INK_HEIGHT) // 2


def _edges(painter: QPainter, wide: int, high: int) -> None:
    painter.setPen(theme.color("hairline"))
    painter.drawLine(0, high - 1, wide, high - 1)
    painter.drawLine(wide - 1, 0, wide - 1, high)


def _mark(painter: QPainter, box: QRectF, entry: tuple[Mark, bool], ground: QColor) -> None:
    mark, in_doubt = entry
    marks.paint(painter, mark, QPointF(box.center().x(), box.top() + 15), MARK_HEIGHT, ground=ground)
    if in_doubt:
        painter.setFont(theme.font("label", bold=True))
        painter.setPen(theme.color("ink"))
        painter.drawText(box.adjusted(0, -3, -1, 0), _RIGHT, "?")


def _cut(painter: QPainter, words: str, room: int) -> str:
    return painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, room)
