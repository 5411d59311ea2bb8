"""Comments on a plot: a balloon with the number of its row, whose tail points at the value meant."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.ui import theme
from app.ui.texts import text

TALL_PX: Final = 19.0
_MOST_WIDE_PX: Final = 110.0
# The balloon stands clear of the point and of its ring.
_AWAY_PX: Final = 15.0
_TAIL_PX: Final = 5.0


@dataclass(frozen=True, slots=True)
class Pin:
    """A comment: its row, the row as the table names it, and whether it still waits for an answer."""

    row: str
    words: str
    is_open: bool


def paint(painter: QPainter, place: QPointF, pin: Pin, within: QRectF) -> None:
    """Draw the balloon of a point: heavy and filled while an answer is waited for, an outline afterwards."""
    font = theme.font("label", bold=True)
    metrics = QFontMetricsF(font)
    words = metrics.elidedText(pin.words, Qt.TextElideMode.ElideRight, _MOST_WIDE_PX)
    box = balloon_box(place, metrics.horizontalAdvance(words) + 12.0, within)
    ink, sheet = theme.color("ink"), theme.color("sheet")
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(ink, 1.8))
    painter.setBrush(ink if pin.is_open else sheet)
    painter.drawPath(_outline(box, place, short_px=6.0))
    painter.setPen(sheet if pin.is_open else ink)
    painter.setFont(font)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)


def paint_small(painter: QPainter, place: QPointF, *, is_open: bool) -> None:
    """The same shape without words, for the row of a table; `place` is its middle."""
    box = QRectF(place.x() - 6.5, place.y() - 7.0, 13.0, 9.0)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(theme.color("ink"), 1.6))
    painter.setBrush(theme.color("ink") if is_open else theme.color("sheet"))
    painter.drawPath(_outline(box, place + QPointF(4.5, 7.5), short_px=0.0))


def paint_all(painter: QPainter, pinned: Iterable[tuple[QPointF, Pin]], within: QRectF) -> None:
    """Every balloon whose point lies on the paper."""
    for place, pin in pinned:
        if within.contains(place):
            paint(painter, place, pin, within)


def told(pinned: Iterable[Pin]) -> list[str]:
    """What a screen reader says of the comments."""
    return [text("plot.comment", row=pin.words) for pin in pinned]


def balloon_box(place: QPointF, wide_px: float, within: QRectF) -> QRectF:
    """To the upper left of a point, where a rising curve leaves room; at an edge beside it."""
    left = place.x() - _AWAY_PX - wide_px
    if left < within.left():
        left = place.x() + _AWAY_PX
    top = max(place.y() - _AWAY_PX - TALL_PX, within.top() + 1.0)
    return QRectF(left, top, wide_px, TALL_PX)


def _outline(box: QRectF, place: QPointF, *, short_px: float) -> QPainterPath:
    """The box with its tail, which ends so far short of the point that its mark stays clear."""
    body = QPainterPath()
    body.addRoundedRect(box, 3.0, 3.0)
    foot = QPointF(min(max(place.x(), box.left() + _TAIL_PX), box.right() - _TAIL_PX), box.center().y())
    way = place - foot
    far = max((way.x() ** 2 + way.y() ** 2) ** 0.5, 1.0)
    aside = QPointF(-way.y(), way.x()) * (_TAIL_PX / far)
    tail = QPainterPath()
    tail.addPolygon(QPolygonF([foot + aside, place - way * min(short_px / far, 0.5), foot - aside]))
    tail.closeSubpath()
    return body.united(tail)


class PinLayer(QWidget):
    """The balloons over a paper that another library draws; touches go through to what lies beneath."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.pinned: list[tuple[QPointF, Pin]] = []
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def show_pins(self, pinned: list[tuple[QPointF, Pin]], box: QRect) -> None:
        """Lie over that box of the parent, with places in its pixels."""
        self.pinned = pinned
        self.setGeometry(box)
        self.setVisible(bool(pinned))
        self.raise_()
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The balloons alone."""
        painter = QPainter(self)
        painter.translate(-self.x(), -self.y())
        paint_all(painter, self.pinned, QRectF(self.geometry()))
