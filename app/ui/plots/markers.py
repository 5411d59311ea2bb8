"""Marks of a fixed size in pixels at positions on the paper, drawn as one path.

The plotting library's own scatter item keeps a picture atlas and a record per point; for two dozen points
that costs more than drawing them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF, QTransform

from app.ui.plots import logscale
from app.ui.plots.logscale import Floats


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
CORNER = _corner()
TICK_45 = strokes((-0.354, -0.354, 0.354, 0.354))
TICK_30 = strokes((-0.25, -0.433, 0.25, 0.433))


class Markers(pg.GraphicsObject):
    """One symbol at many positions; `area` says which part of the paper is visible."""

    def __init__(self, area: Callable[[], QRectF]) -> None:
        super().__init__()
        self._area = area
        self.x: Floats = logscale.positions([])
        self.y: Floats = logscale.positions([])
        self._symbol = CIRCLE
        self._size = 10.0
        self.pen = QPen()
        self.brush = QBrush(Qt.BrushStyle.NoBrush)
        self._drawn: tuple[QTransform, QPainterPath] | None = None

    def set_data(
        self,
        amperes: Sequence[float],
        volts: Sequence[float],
        symbol: QPainterPath,
        size: float,
        pen: QPen,
        filled: QColor | None = None,
    ) -> None:
        """Stand at other places: values above zero in A and V."""
        self.x, self.y = logscale.positions(amperes), logscale.positions(volts)
        self._symbol, self._size, self.pen = symbol, size, pen
        self.brush = QBrush(filled) if filled is not None else QBrush(Qt.BrushStyle.NoBrush)
        self._drawn = None
        self.update()

    def boundingRect(self) -> QRectF:
        """The visible paper: whatever changes, the paper is drawn anew."""
        return self._area()

    def paint(self, painter: QPainter, *_args: object) -> None:
        """Draw all marks in pixels."""
        if not self.x.size:
            return
        to_device = painter.worldTransform()
        if self._drawn is None or self._drawn[0] != to_device:
            self._drawn = (QTransform(to_device), self._path(to_device))
        painter.setWorldTransform(QTransform())
        painter.setPen(self.pen)
        painter.setBrush(self.brush)
        painter.drawPath(self._drawn[1])

    def _path(self, to_device: QTransform) -> QPainterPath:
        grown = QTransform.fromScale(self._size, self._size).map(self._symbol)
        path = QPainterPath()
        path.setFillRule(Qt.FillRule.WindingFill)
        for x, y in zip(self.x.tolist(), self.y.tolist(), strict=True):
            at = to_device.map(QPointF(x, y))
            path.addPath(grown.translated(at))
        return path
