"""Marks of a fixed size in pixels, drawn as one path."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPixmap, QPolygonF, QTransform


def _circle() -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(QPointF(0, 0), 0.5, 0.5)
    return path


def _polygon(*corners: tuple[float, float]) -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(x, y) for x, y in corners]))
    path.closeSubpath()
    return path


def strokes(*lines: tuple[float, float, float, float]) -> QPainterPath:
    """Straight strokes in a box of one; y points down."""
    path = QPainterPath()
    for x1, y1, x2, y2 in lines:
        path.moveTo(x1, y1)
        path.lineTo(x2, y2)
    return path


def _corner() -> QPainterPath:
    """The plate's corner: down and to the right of the point, teeth on the forbidden side."""
    teeth = [
        tooth
        for k in range(1, 5)
        for tooth in ((0, 0.115 * k, 0.075, 0.115 * k + 0.075), (0.115 * k, 0, 0.115 * k + 0.075, 0.075))
    ]
    return strokes((0, 0.5, 0, 0), (0, 0, 0.5, 0), *teeth)


CIRCLE = _circle()
SQUARE = _polygon((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5))
TRIANGLE = _polygon((0, -0.55), (0.55, 0.45), (-0.55, 0.45))
DIAMOND = _polygon((0, -0.6), (0.6, 0), (0, 0.6), (-0.6, 0))
CROSS_TICK = strokes((0, -0.5, 0, 0.5))
CROSS = strokes((-0.5, -0.5, 0.5, 0.5), (-0.5, 0.5, 0.5, -0.5))
PLUS = strokes((-0.5, 0, 0.5, 0), (0, -0.5, 0, 0.5))
CORNER = _corner()
TICK_45 = strokes((-0.354, -0.354, 0.354, 0.354))
TICK_30 = strokes((-0.25, -0.433, 0.25, 0.433))
_FEW_COUNT = 8


def draw(
    painter: QPainter,
    places: Sequence[QPointF],
    symbol: QPainterPath,
    size: float,
    pen: QPen,
    filled: QColor | None = None,
) -> None:
    """Draw one symbol at many places; of many a picture is made once and set down at each."""
    if len(places) > _FEW_COUNT:
        _draw_many(painter, places, symbol, size, pen, filled)
        return
    if not places:
        return
    grown = QTransform.fromScale(size, size).map(symbol)
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    for place in places:
        path.addPath(grown.translated(place))
    painter.setPen(pen)
    painter.setBrush(QBrush(filled) if filled is not None else QBrush(Qt.BrushStyle.NoBrush))
    painter.drawPath(path)


def _draw_many(
    painter: QPainter,
    places: Sequence[QPointF],
    symbol: QPainterPath,
    size: float,
    pen: QPen,
    filled: QColor | None,
) -> None:
    ratio = painter.device().devicePixelRatioF()
    half = math.ceil(size / 2 + pen.widthF()) + 1
    stamp = QPixmap(int(2 * half * ratio), int(2 * half * ratio))
    stamp.setDevicePixelRatio(ratio)
    stamp.fill(Qt.GlobalColor.transparent)
    inner = QPainter(stamp)
    inner.setRenderHint(QPainter.RenderHint.Antialiasing)
    draw(inner, [QPointF(half, half)], symbol, size, pen, filled)
    inner.end()
    # Whole device pixels keep the stamp sharp; it stands half a pixel off at most.
    for place in places:
        x, y = round((place.x() - half) * ratio) / ratio, round((place.y() - half) * ratio) / ratio
        painter.drawPixmap(QPointF(x, y), stamp)
