"""A sheet of logarithmic paper on pyqtgraph: equal decades, 1-2-5 ticks, a cheap grid, and no menus.

This module and its neighbours are the only ones that know pyqtgraph. Positions are decimal logarithms,
made by `logscale` alone.
"""

from __future__ import annotations

import math

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app.ui import theme
from app.ui.plots import logscale
from app.ui.plots.logscale import Span
from ctcore import figures


class DecadeAxis(pg.AxisItem):
    """An axis whose figures stand at 1, 2 and 5 of every decade, with a larger unit where they need it."""

    def __init__(
        self, orientation: str, unit: str, larger_unit: str, larger_from: float, *, role: str = "axis"
    ) -> None:
        super().__init__(orientation)
        self.unit, self.larger_unit, self.larger_from = unit, larger_unit, larger_from
        self.room = 8
        self.quiet_from = math.inf
        self.enableAutoSIPrefix(False)
        self.setStyle(tickFont=theme.font(role), tickLength=0, tickTextOffset=4, autoExpandTextSpace=False,
                      autoReduceTextSpace=False)  # fmt: skip
        self.dress()

    def dress(self) -> None:
        """Take the colours of the theme in force."""
        self.setPen(theme.color("ink"))
        self.setTextPen(theme.color("ink"))

    def tickValues(self, minVal: float, maxVal: float, size: float) -> list[tuple[float, list[float]]]:  # noqa: ARG002, N803
        """Positions of the figures of the visible range."""
        strong, _ = logscale.ticks(Span(minVal, maxVal), room=self.room)
        return [(1.0, [logscale.position(entry) for entry in strong])]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:  # noqa: ARG002
        """The figures: in the axis's unit, or with the larger unit from a thousand up."""
        return ["" if entry > self.quiet_from else self._figure(logscale.value(entry)) for entry in values]

    def _figure(self, base_value: float) -> str:
        if base_value >= self.larger_from * (1.0 - 1e-9):
            return f"{_trimmed(figures.text(base_value, self.larger_unit, significant=3))} {self.larger_unit}"
        return _trimmed(figures.text(base_value, self.unit, significant=3))


def _trimmed(shown: str) -> str:
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


class Grid(pg.GraphicsObject):
    """Rules of the paper: strong at the figures, fine between; two draws of cached lines."""

    def __init__(self) -> None:
        super().__init__()
        self._box = QRectF()
        self._strong: list[QLineF] = []
        self._fine: list[QLineF] = []
        self.setZValue(-100)

    def set_ranges(self, x: Span, y: Span, *, room_x: int, room_y: int) -> None:
        """Draw for these ranges from now on."""
        self.prepareGeometryChange()
        self._box = QRectF(x.low, y.low, x.decades, y.decades)
        strong_x, fine_x = logscale.ticks(x, room=room_x)
        strong_y, fine_y = logscale.ticks(y, room=room_y)
        self._strong = _rules(strong_x, strong_y, x, y)
        self._fine = _rules(fine_x, fine_y, x, y)
        self.update()

    def boundingRect(self) -> QRectF:
        """The whole paper."""
        return self._box

    def paint(self, painter: QPainter, *_args: object) -> None:
        """Draw both kinds of rule without smoothing: they are straight and one pixel wide."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        for lines, role in ((self._fine, "grid_fine"), (self._strong, "grid_strong")):
            pen = QPen(theme.color(role), 1)
            pen.setCosmetic(True)
            painter.setPen(pen)
            painter.drawLines(lines)


def _rules(at_x: list[float], at_y: list[float], x: Span, y: Span) -> list[QLineF]:
    upright = [QLineF(p, y.low, p, y.high) for p in map(logscale.position, at_x)]
    level = [QLineF(x.low, p, x.high, p) for p in map(logscale.position, at_y)]
    return upright + level


class Paper(pg.PlotWidget):
    """One plot area of logarithmic paper; ranges are set by the program alone."""

    def __init__(self, *, role: str = "axis", axis_width: int = 40, axis_height: int = 24) -> None:
        self.axis_x = DecadeAxis("bottom", "mA", "A", 1.0, role=role)
        self.axis_y = DecadeAxis("left", "V", "kV", 1e3, role=role)
        super().__init__(
            axisItems={"bottom": self.axis_x, "left": self.axis_y}, background=theme.color("sheet")
        )
        self.axis_width_px, self.axis_height_px = axis_width, axis_height
        self.axis_x.setHeight(axis_height)
        self.axis_y.setWidth(axis_width)
        self.grid = Grid()
        self.x, self.y = Span(-3.0, 0.0), Span(0.0, 3.0)
        plot = self.getPlotItem()
        plot.addItem(self.grid, ignoreBounds=True)
        plot.setMenuEnabled(False)
        plot.hideButtons()
        plot.setContentsMargins(0, 0, 0, 0)
        plot.layout.setContentsMargins(0, 6, 8, 0)
        box = plot.getViewBox()
        box.setMouseEnabled(False, False)
        box.disableAutoRange()
        box.setDefaultPadding(0.0)
        box.setBorder(pg.mkPen(theme.color("ink"), width=1.5))
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAntialiasing(True)
        self.setFrameShape(pg.QtWidgets.QFrame.Shape.NoFrame)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def dress(self) -> None:
        """Take the colours of the theme in force."""
        self.setBackground(theme.color("sheet"))
        self.axis_x.dress()
        self.axis_y.dress()
        self.getViewBox().setBorder(pg.mkPen(theme.color("ink"), width=1.5))
        self.grid.update()

    def area_px(self) -> tuple[float, float]:
        """Width and height of the paper itself in pixels, from the widget's size and its margins."""
        wide = self.width() - self.axis_width_px - 8
        tall = self.height() - self.axis_height_px - 6
        return max(wide, 40.0), max(tall, 40.0)

    def set_ranges(self, x: Span, y: Span) -> None:
        """Show these ranges; nothing happens where they stand already."""
        if (x, y) == (self.x, self.y) and not self.grid.boundingRect().isEmpty():
            return
        self.x, self.y = x, y
        wide, tall = self.area_px()
        self.axis_x.room, self.axis_y.room = int(wide / 44), int(tall / 26)
        # The axis's unit stands at the far end, in place of a figure.
        self.axis_x.quiet_from = x.high - 46.0 * x.decades / wide
        self.axis_y.quiet_from = y.high - 22.0 * y.decades / tall
        self.getViewBox().setRange(xRange=(x.low, x.high), yRange=(y.low, y.high), padding=0)
        self.grid.set_ranges(x, y, room_x=self.axis_x.room, room_y=self.axis_y.room)
