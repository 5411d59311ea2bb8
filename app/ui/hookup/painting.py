"""A hook-up drawing on the screen: as large as fits, in the ink of the theme."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import theme
from ctcore.hookup import WORDS_TALL, Arc, Drawing, Stroke, Words

_THIN, _THICK = 1.8, 3.4
_LEAST_PX = 12
_EDGE = 8.0


class HookupDrawing(QWidget):
    """One drawing; an empty sheet where there is none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._drawing: Drawing | None = None
        self.setMinimumSize(280, 230)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def show_drawing(self, drawing: Drawing | None) -> None:
        """Draw another one."""
        if drawing == self._drawing:
            return
        self._drawing = drawing
        self.setAccessibleName("" if drawing is None else drawing.said_text)
        self.update()

    def sizeHint(self) -> QSize:
        """Room in which its words are as large as those around it."""
        return QSize(480, 300)

    def changeEvent(self, event: QEvent) -> None:
        """Take the colours of another theme."""
        super().changeEvent(event)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The drawing in the middle, as large as fits."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("sheet"))
        if self._drawing is None:
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        room = QRectF(self.rect()).adjusted(_EDGE, _EDGE, -_EDGE, -_EDGE)
        paint(painter, self._drawing, room)


def paint(painter: QPainter, drawing: Drawing, room: QRectF) -> None:
    """Draw into a rectangle, in its middle, with the same scale both ways."""
    scale = min(room.width() / drawing.width, room.height() / drawing.height)
    left = room.left() + (room.width() - scale * drawing.width) / 2.0
    top = room.top() + (room.height() - scale * drawing.height) / 2.0

    def at(x: float, y: float) -> QPointF:
        return QPointF(left + scale * x, top + scale * y)

    for stroke in drawing.strokes:
        _paint_stroke(painter, stroke, [at(x, y) for x, y in stroke.points])
    for arc in drawing.arcs:
        _paint_arc(painter, arc, at(arc.x, arc.y), scale * arc.radius)
    for words in drawing.words:
        _paint_words(painter, words, at(words.x, words.y), scale)


def _paint_stroke(painter: QPainter, stroke: Stroke, points: list[QPointF]) -> None:
    pen = QPen(theme.color("ink"), _THICK if stroke.is_thick else _THIN)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if stroke.is_dashed:
        pen.setDashPattern([4.0, 3.0])
    painter.setPen(pen)
    if stroke.is_filled:
        painter.setBrush(theme.color("ink"))
        painter.drawPolygon(QPolygonF(points))
    else:
        painter.drawPolyline(QPolygonF(points))


def _paint_arc(painter: QPainter, arc: Arc, center: QPointF, radius: float) -> None:
    painter.setPen(QPen(theme.color("ink"), _THIN))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    box = QRectF(center.x() - radius, center.y() - radius, 2.0 * radius, 2.0 * radius)
    painter.drawArc(box, round(16.0 * arc.start_deg), round(16.0 * arc.sweep_deg))


def _paint_words(painter: QPainter, words: Words, place: QPointF, scale: float) -> None:
    font = theme.font("second", bold=words.is_bold)
    font.setPixelSize(max(_LEAST_PX, round(WORDS_TALL * scale)))
    painter.setFont(font)
    painter.setPen(theme.color("ink"))
    wide = QFontMetricsF(font).horizontalAdvance(words.text)
    share = {"left": 0.0, "middle": 0.5, "right": 1.0}[words.align]
    painter.drawText(QPointF(place.x() - share * wide, place.y()), words.text)
