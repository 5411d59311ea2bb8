"""A sheet of ruled paper on pyqtgraph for what is drawn rarely: own ticks and rules, no menu, no dragging.

This is the only module that knows pyqtgraph, and it is imported when the first such view is opened: the
library costs a quarter of a second. Positions are those of `Axis`; the library is told of no logarithm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QFrame, QWidget

from app.ui import theme
from app.ui.plots import layers, logscale, markers
from app.ui.plots.axes import Axis
from app.ui.plots.logscale import Span

_LEFT_PX, _BELOW_PX, _ABOVE_PX, _RIGHT_PX = 52, 24, 6, 8
_PX_PER_FIGURE_X, _PX_PER_FIGURE_Y = 44, 26
_TOOTH_EVERY_PX = 11.0
_TOOTH_PX = 7.0
Teeth = Literal["", "above", "below", "inwards"]
_TEETH = {
    "above": markers.strokes((0, 0, 0.5, -0.5)),
    "below": markers.strokes((0, 0, 0.5, 0.5)),
    "inwards": markers.strokes((0, 0, -0.5, 0.5)),
}


@dataclass(frozen=True, slots=True)
class Mark:
    """What stands at each point of a line: symbol in a box of one, its size in pixels, and its filling."""

    symbol: QPainterPath
    size_px: float
    filled: QColor


@dataclass(frozen=True, slots=True)
class Line:
    """A line through pairs of values; marked at each, or with teeth on its forbidden side."""

    x: tuple[float, ...]
    y: tuple[float, ...]
    pen: QPen
    mark: Mark | None = None
    teeth: Teeth = ""


def paper_area_px(width: float, height: float) -> tuple[float, float]:
    """What figures and edges leave of a paper of this size."""
    return max(width - _LEFT_PX - _RIGHT_PX, 40.0), max(height - _BELOW_PX - _ABOVE_PX, 40.0)


class FiguredAxis(pg.AxisItem):
    """Figures at the values it is told; what it counts in stands at its far end in place of a figure."""

    def __init__(self, orientation: str, axis: Axis) -> None:
        super().__init__(orientation)
        self.counted = axis
        self.enableAutoSIPrefix(False)
        self.setStyle(
            tickLength=0, tickTextOffset=4, autoExpandTextSpace=False, autoReduceTextSpace=False,
            hideOverlappingLabels=False, tickAlpha=0,
        )  # fmt: skip
        self.setHeight(_BELOW_PX) if orientation == "bottom" else self.setWidth(_LEFT_PX)
        self.dress()

    def dress(self) -> None:
        """Take the colours of the theme in force."""
        self.setTickFont(theme.font("axis"))
        self.setPen(QPen(Qt.PenStyle.NoPen))
        self.setTextPen(theme.color("ink"))

    def show_figures(self, values: Sequence[float], span: Span, long_px: float) -> None:
        """Figures at these values of a range so many pixels long."""
        wide = QFontMetricsF(theme.font("axis", bold=True)).horizontalAdvance(self.counted.words)
        quiet = wide + 18.0 if self.orientation == "bottom" else 22.0
        last = span.high - quiet * span.decades / long_px
        places = [(self.counted.position(value), self.counted.figure(value)) for value in values]
        self.setTicks([[(place, words) for place, words in places if place <= last]])

    def drawPicture(self, p: QPainter, *specs: object) -> None:
        """The figures, and what they count."""
        super().drawPicture(p, *specs)
        p.setFont(theme.font("axis", bold=True))
        p.setPen(theme.color("ink"))
        upright = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
        if self.orientation == "bottom":
            p.drawText(QRectF(self.width() - 260, 1, 264, _BELOW_PX), upright, self.counted.words)
        else:
            p.drawText(QRectF(0, -4, _LEFT_PX - 5, 20), upright, self.counted.words)


class RuledPaper(pg.PlotWidget):
    """One plot area; the program alone sets its ranges, and touches go through to the widget beneath."""

    def __init__(self, axis_x: Axis, axis_y: Axis, parent: QWidget) -> None:
        self._axis_x, self._axis_y = FiguredAxis("bottom", axis_x), FiguredAxis("left", axis_y)
        super().__init__(parent, axisItems={"bottom": self._axis_x, "left": self._axis_y})
        self._x, self._y = Span(0.0, 1.0), Span(0.0, 1.0)
        self._kept: list[_KeptLine] = []
        self._ratio = self.devicePixelRatioF()
        plot, box = self.getPlotItem(), self.getViewBox()
        plot.setMenuEnabled(False)
        plot.hideButtons()
        plot.layout.setContentsMargins(0, _ABOVE_PX, _RIGHT_PX, 0)
        box.setMouseEnabled(False, False)
        box.disableAutoRange()
        box.setDefaultPadding(0.0)
        # Rules are upright and level: smoothing would only blur them.
        self._rules = [pg.PlotCurveItem(connect="pairs", antialias=False) for _ in range(2)]
        for item in self._rules:
            item.setZValue(-100)
            plot.addItem(item, ignoreBounds=True)
        self.setAntialiasing(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # Qt: the part that scrolls would take the focus by itself, and has no name to be told by (6.11).
        self.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.dress()
        box.sigResized.connect(self._rule)

    def dress(self) -> None:
        """Take the colours of the theme in force."""
        self.setBackground(theme.color("sheet"))
        self._axis_x.dress()
        self._axis_y.dress()
        self.getViewBox().setBorder(layers.pen_of("ink", 2.0))
        for item, role in zip(self._rules, ("grid_fine", "grid_strong"), strict=True):
            item.setPen(_fixed(layers.pen_of(role, 1), self.devicePixelRatioF()))

    def show_lines(self, axis_x: Axis, axis_y: Axis, x: Span, y: Span, lines: Sequence[Line]) -> None:
        """Count in these axes, show these ranges of positions, and these lines, the last on top."""
        ratio = self.devicePixelRatioF()
        is_other = (self._axis_x.counted, self._axis_y.counted, self._ratio) != (axis_x, axis_y, ratio)
        self._ratio = ratio
        if is_other or (self._x, self._y) != (x, y):
            self._axis_x.counted, self._axis_y.counted = axis_x, axis_y
            self._x, self._y = x, y
            self.getViewBox().setRange(xRange=(x.low, x.high), yRange=(y.low, y.high), padding=0)
            self._rule()
        while len(self._kept) < len(lines):
            self._kept.append(_KeptLine(self.getPlotItem(), level=len(self._kept)))
        for index, kept in enumerate(self._kept):
            line = lines[index] if index < len(lines) else None
            if is_other or line != kept.line:
                kept.show(line, axis_x, axis_y, ratio)
        self._set_teeth()

    # From values to pixels of the widget beneath

    def at(self, x_value: float, y_value: float) -> QPointF:
        """The place of a pair of values."""
        place = QPointF(self._axis_x.counted.position(x_value), self._axis_y.counted.position(y_value))
        return self.getViewBox().mapViewToScene(place) + QPointF(self.pos())

    def holds(self, x_value: float, y_value: float) -> bool:
        """Whether a pair of values lies on the paper."""
        x, y = self._axis_x.counted.position(x_value), self._axis_y.counted.position(y_value)
        return self._x.low <= x <= self._x.high and self._y.low <= y <= self._y.high

    def _positions(
        self, x_values: Sequence[float], y_values: Sequence[float]
    ) -> tuple[logscale.Floats, logscale.Floats]:
        return self._axis_x.counted.positions(x_values), self._axis_y.counted.positions(y_values)

    # What depends on the size

    def _rule(self) -> None:
        """Figures and rules for the ranges and the size in force."""
        wide, tall = self._area_px()
        strong_x, fine_x = _ticks(self._axis_x.counted, self._x, int(wide / _PX_PER_FIGURE_X))
        strong_y, fine_y = _ticks(self._axis_y.counted, self._y, int(tall / _PX_PER_FIGURE_Y))
        self._axis_x.show_figures(strong_x, self._x, wide)
        self._axis_y.show_figures(strong_y, self._y, tall)
        for item, at_x, at_y in zip(self._rules, (fine_x, strong_x), (fine_y, strong_y), strict=True):
            x, y = self._positions(at_x, at_y)
            item.setData(
                np.concatenate([np.repeat(x, 2), np.tile([self._x.low, self._x.high], len(y))]),
                np.concatenate([np.tile([self._y.low, self._y.high], len(x)), np.repeat(y, 2)]),
            )
        self._set_teeth()

    def _set_teeth(self) -> None:
        wide, tall = self._area_px()
        for kept in self._kept:
            kept.set_teeth(wide / self._x.decades, tall / self._y.decades)

    def _area_px(self) -> tuple[float, float]:
        box = self.getViewBox()
        return max(box.width(), 40.0), max(box.height(), 40.0)


class _KeptLine:
    """The items of one line, made once and given other data."""

    def __init__(self, plot: pg.PlotItem, *, level: int) -> None:
        self.line: Line | None = None
        self._ratio = 1.0
        self._positions: list[QPointF] = []
        # The item takes smoothing from the library's own setting, not from the view, where it is not told.
        self._curve = pg.PlotDataItem(antialias=True)
        self._teeth = pg.ScatterPlotItem(pxMode=True, size=2 * _TOOTH_PX)
        for item in (self._curve, self._teeth):
            item.setZValue(level)
            plot.addItem(item, ignoreBounds=True)

    def show(self, line: Line | None, axis_x: Axis, axis_y: Axis, ratio: float) -> None:
        """Draw another line, or none."""
        self.line, self._ratio = line, ratio
        self._curve.setVisible(line is not None)
        self._teeth.setVisible(line is not None and bool(line.teeth))
        if line is None:
            return
        x, y, mark = axis_x.positions(line.x), axis_y.positions(line.y), line.mark
        self._positions = list(map(QPointF, x.tolist(), y.tolist()))
        self._curve.setData(
            x, y, pen=_fixed(line.pen, ratio), symbol=mark and mark.symbol, symbolSize=mark and mark.size_px,
            symbolBrush=mark and mark.filled, symbolPen=_fixed(QPen(line.pen.color(), 2.0), ratio),
        )  # fmt: skip

    def set_teeth(self, px_per_x: float, px_per_y: float) -> None:
        """Teeth stand at equal distances on the screen, whatever the ranges."""
        if self.line is None or not self.line.teeth:
            return
        line = [QPointF(at.x() * px_per_x, at.y() * px_per_y) for at in self._positions]
        places = layers.along(line, _TOOTH_EVERY_PX)
        x, y = [at.x() / px_per_x for at in places], [at.y() / px_per_y for at in places]
        symbol, pen = _TEETH[self.line.teeth], _fixed(QPen(self.line.pen.color(), 1.4), self._ratio)
        self._teeth.setData(x, y, symbol=symbol, pen=pen)


def _ticks(axis: Axis, span: Span, room: int) -> tuple[list[float], list[float]]:
    return logscale.ticks(span, room=room) if axis.is_log else logscale.even_ticks(span, room=room)


def _fixed(pen: QPen, ratio: float) -> QPen:
    """A pen whose width stays the same, whatever the scale of the paper.

    Qt: such a pen counts in pixels of the device, not of the window (6.11).
    """
    made = QPen(pen)
    made.setCosmetic(True)
    made.setWidthF(pen.widthF() * ratio)
    return made
