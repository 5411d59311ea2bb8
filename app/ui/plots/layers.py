"""Items of one paper: made once, then given new data; told apart by line, marker, weight and colour."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainterPath, QPen

from app.ui import theme
from app.ui.plots import logscale
from app.ui.plots.content import CurveLine, KneeMark, PlotContent

SYMBOLS = ("o", "s", "t1")
DASHES: tuple[list[float], ...] = ([], [11.0, 5.0], [0.1, 2.0])


def pen_of(role: str | QColor, width_px: float) -> QPen:
    """A pen whose width stays in pixels whatever the scale of the paper."""
    pen = QPen(theme.color(role) if isinstance(role, str) else role, width_px)
    pen.setCosmetic(True)
    return pen


def _lines_path(*lines: tuple[float, float, float, float]) -> QPainterPath:
    path = QPainterPath()
    for x1, y1, x2, y2 in lines:
        path.moveTo(x1, y1)
        path.lineTo(x2, y2)
    return path


def _corner_path() -> QPainterPath:
    """The plate's corner: down and to the right of the point, teeth on the forbidden side."""
    path = _lines_path((0, 0.5, 0, 0), (0, 0, 0.5, 0))
    for k in range(1, 5):
        path.addPath(_lines_path((0, 0.115 * k, 0.075, 0.115 * k + 0.075)))
        path.addPath(_lines_path((0.115 * k, 0, 0.115 * k + 0.075, 0.075)))
    return path


# Straight marks in a box of one, scaled to pixels by the plotting library; y points down.
CROSS = _lines_path((-0.5, -0.5, 0.5, 0.5), (-0.5, 0.5, 0.5, -0.5))
CORNER = _corner_path()
TICK_45 = _lines_path((-0.354, -0.354, 0.354, 0.354))
TICK_30 = _lines_path((-0.25, -0.433, 0.25, 0.433))


def line_pen(curve: CurveLine) -> QPen:
    """The line of a curve: solid, dashed or dotted by phase; thick in hand, thin for references."""
    if curve.kind == "certificate":
        return pen_of("ink", 1.4)
    if curve.kind == "previous":
        pen = pen_of("ink", 1.4)
        pen.setDashPattern([10, 4, 2, 4])
        return pen
    pen = pen_of(theme.current().phase_color(curve.phase_index), 4.0 if curve.kind == "hand" else 2.5)
    dashes = DASHES[curve.phase_index % 3] if curve.phase_index >= 0 else []
    if dashes:
        pen.setDashPattern([entry / (pen.widthF() / 2.5) for entry in dashes] if dashes[0] > 1 else dashes)
        if dashes[0] < 1:
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen


def marker(curve: CurveLine) -> tuple[str | None, QColor, QColor, float]:
    """Symbol, outline, filling and size of a curve's points."""
    if curve.kind == "certificate":
        return "+", theme.color("ink"), theme.color("ink"), 8.0
    if curve.kind == "previous":
        return "d", theme.color("ink"), theme.color("sheet"), 10.0
    outline = theme.current().phase_color(curve.phase_index)
    filled = outline if curve.kind == "hand" else theme.color("sheet")
    return SYMBOLS[curve.phase_index % 3], outline, filled, 12.0 if curve.kind == "hand" else 10.0


class CurveItems:
    """The line, the points and the crossed points of one curve on one paper."""

    def __init__(self, plot: pg.PlotItem) -> None:
        self.line = pg.PlotCurveItem()
        self.points = pg.ScatterPlotItem(pxMode=True)
        self.struck = pg.ScatterPlotItem(pxMode=True, symbol=CROSS, size=13)
        self._shown: CurveLine | None = None
        for item in (self.line, self.points, self.struck):
            plot.addItem(item, ignoreBounds=True)

    def show(self, curve: CurveLine | None, *, force: bool = False) -> None:
        """Draw another curve, or nothing."""
        if curve == self._shown and not force:
            return
        self._shown = curve
        visible = curve is not None
        for item in (self.line, self.points, self.struck):
            item.setVisible(visible)
        if curve is None:
            return
        self.line.setData(
            logscale.positions(curve.line.current_a),
            logscale.positions(curve.line.voltage_v),
            pen=line_pen(curve),
        )
        symbol, outline, filled, size = marker(curve)
        self.points.setData(
            logscale.positions(curve.points.current_a), logscale.positions(curve.points.voltage_v),
            symbol=symbol, size=size, pen=pen_of(outline, 2), brush=filled,
        )  # fmt: skip
        beside_v = [*curve.struck.voltage_v, *curve.doubtful.voltage_v]
        beside_a = [*curve.struck.current_a, *curve.doubtful.current_a]
        self.struck.setData(
            logscale.positions(beside_a), logscale.positions(beside_v), pen=pen_of("ink", 1.8)
        )
        level = 20 if curve.kind == "hand" else 10
        self.line.setZValue(level)
        self.points.setZValue(level + 1)
        self.struck.setZValue(level + 2)


class MarkItems:
    """Marks beside the curves: plate corner, next volts, the point being keyed; on the detail the knees."""

    def __init__(self, plot: pg.PlotItem, *, with_knees: bool) -> None:
        self._with_knees = with_knees
        self.names_next = with_knees
        self.corner = pg.ScatterPlotItem(pxMode=True, symbol=CORNER, size=60)
        self.next_level = pg.InfiniteLine(angle=0, movable=False)
        self.ring = pg.ScatterPlotItem(pxMode=True, symbol="o", size=26)
        self.inner = pg.ScatterPlotItem(pxMode=True, size=12)
        self.step = pg.PlotCurveItem(connect="pairs")
        self.tick_45 = pg.ScatterPlotItem(pxMode=True, symbol=TICK_45, size=24)
        self.tick_30 = pg.ScatterPlotItem(pxMode=True, symbol=TICK_30, size=24)
        self.labels = [pg.TextItem(anchor=(0, 0)) for _ in range(6)]
        self.corner_label = pg.TextItem(anchor=(0, 0.5))
        self.next_label = pg.TextItem(anchor=(0, 1))
        items = (self.corner, self.next_level, self.step, self.tick_45, self.tick_30, self.ring, self.inner)
        for level, item in enumerate((*items, *self.labels, self.corner_label, self.next_label)):
            item.setZValue(30 + level)
            plot.addItem(item, ignoreBounds=True)
        self.show_keyed(None, -1)

    def show(self, content: PlotContent, left: float) -> None:
        """Draw the marks of a content; `left` is the position of the paper's left edge."""
        self._show_corner(content)
        self._show_next(content, left)
        for label in self.labels:
            label.setVisible(False)
        if self._with_knees:
            self._show_knees(content)

    def show_keyed(self, point: tuple[float, float] | None, phase_index: int) -> None:
        """Draw the plum ring around the point being keyed: (volts, amperes)."""
        self.ring.setVisible(point is not None)
        self.inner.setVisible(point is not None)
        if point is None:
            return
        at = [QPointF(logscale.position(point[1]), logscale.position(point[0]))]
        spot = [{"pos": entry} for entry in at]
        self.ring.setData(spot, pen=pen_of("here", 2.5), brush=None)
        self.inner.setData(
            spot, symbol=SYMBOLS[phase_index % 3], pen=pen_of("here", 2.2), brush=theme.color("sheet")
        )

    def _show_corner(self, content: PlotContent) -> None:
        limit = content.plate_limit
        self.corner.setVisible(limit is not None)
        self.corner_label.setVisible(limit is not None and not self._with_knees)
        if limit is None:
            return
        x, y = logscale.position(limit[0]), logscale.position(limit[1])
        self.corner.setData([x], [y], pen=pen_of("ink", 2.4), brush=None)
        if not self._with_knees:
            _set_text(self.corner_label, "plate limit", "ink")
            self.corner_label.setPos(x, y)
            self.corner_label.setAnchor((-0.12, -0.3))

    def _show_next(self, content: PlotContent, left: float) -> None:
        volts = content.next_voltage_v
        self.next_level.setVisible(volts is not None)
        self.next_label.setVisible(volts is not None and self.names_next)
        if volts is None:
            return
        pen = pen_of("here", 1.8)
        pen.setDashPattern([1.6, 2.2])
        self.next_level.setPen(pen)
        self.next_level.setPos(logscale.position(volts))
        if self.names_next:
            _set_text(self.next_label, f"next {volts:.3g} V", "here")
            self.next_label.setPos(left, logscale.position(volts))

    def _show_knees(self, content: PlotContent) -> None:
        marks = [(curve, mark) for curve in content.curves for mark in curve.knees]
        steps = [mark for _, mark in marks if mark.name == "iec"]
        self._show_steps(steps)
        self.tick_45.setData(*_at([m for _, m in marks if m.name == "tangent45"]), pen=_knee_pen())
        self.tick_30.setData(*_at([m for _, m in marks if m.name == "tangent30"]), pen=_knee_pen())
        # Each definition is named once: at the curve in hand, else at the first that has it.
        named = {mark.name: mark for _, mark in marks}
        for index, mark in enumerate(named.values()):
            self._label(index, mark)

    def _show_steps(self, steps: list[KneeMark]) -> None:
        x, y = [], []
        for mark in steps:
            low, high = logscale.position(mark.current_a), logscale.position(1.5 * mark.current_a)
            base, top = logscale.position(mark.voltage_v), logscale.position(1.1 * mark.voltage_v)
            x += [low, low, low, high]
            y += [base, top, top, top]
        self.step.setData(np.array(x), np.array(y), pen=pen_of("ink", 1.8))

    def _label(self, index: int, mark: KneeMark) -> None:
        words = {"iec": "10/50", "tangent30": "30°", "tangent45": "45°"}[mark.name]
        label = self.labels[index]
        _set_text(label, words, "ink", filled=False)
        x, y = logscale.position(mark.current_a), logscale.position(mark.voltage_v)
        if mark.name == "iec":
            label.setAnchor((0, 1))
            label.setPos(x, logscale.position(1.1 * mark.voltage_v))
        else:
            label.setAnchor((-0.2, -0.15))
            label.setPos(x, y)
        label.setVisible(True)


def _knee_pen() -> QPen:
    return pen_of("ink", 2.6)


def _at(marks: list[KneeMark]) -> tuple[np.ndarray, np.ndarray]:
    return (
        logscale.positions([mark.current_a for mark in marks]),
        logscale.positions([mark.voltage_v for mark in marks]),
    )


def _set_text(item: pg.TextItem, words: str, role: str, *, filled: bool = True) -> None:
    item.setFont(theme.font("label", bold=True))
    item.setColor(theme.color(role))
    item.setText(words)
    item.fill = pg.mkBrush(theme.color("sheet") if filled else None)
