"""Items of one paper: made once, then given new data; told apart by line, marker, weight and colour."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainterPath, QPen

from app.ui import theme
from app.ui.plots import logscale, markers
from app.ui.plots.canvas import Paper
from app.ui.plots.content import KNEES, CurveLine, KneeMark, PlotContent
from app.ui.plots.markers import Markers

SYMBOLS = (markers.CIRCLE, markers.SQUARE, markers.TRIANGLE)
DASHES: tuple[list[float], ...] = ([], [11.0, 5.0], [0.1, 2.0])
_HAND_LEVEL, _SISTER_LEVEL, _MARK_LEVEL = 20, 10, 30


def pen_of(role: str | QColor, width_px: float) -> QPen:
    """A pen whose width stays in pixels whatever the scale of the paper."""
    pen = QPen(theme.color(role) if isinstance(role, str) else role, width_px)
    pen.setCosmetic(True)
    return pen


def line_pen(curve: CurveLine) -> QPen:
    """The line of a curve: solid, dashed or dotted by phase; thick in hand, thin for references."""
    if curve.kind == "certificate":
        return pen_of("ink", 1.4)
    if curve.kind == "previous":
        pen = pen_of("ink", 1.4)
        pen.setDashPattern([10, 4, 2, 4])
        return pen
    width = 4.0 if curve.kind == "hand" else 2.5
    pen = pen_of(theme.current().phase_color(curve.phase_index), width)
    dashes = DASHES[curve.phase_index % 3] if curve.phase_index >= 0 else []
    if dashes and dashes[0] > 1:
        pen.setDashPattern([entry * 2.5 / width / 2.5 for entry in dashes])
    elif dashes:
        pen.setDashPattern(dashes)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen


def marker(curve: CurveLine) -> tuple[QPainterPath, QColor, QColor, float]:
    """Symbol, outline, filling and size of a curve's points."""
    if curve.kind == "certificate":
        return markers.CROSS_TICK, theme.color("ink"), theme.color("ink"), 9.0
    if curve.kind == "previous":
        return markers.DIAMOND, theme.color("ink"), theme.color("sheet"), 9.0
    outline = theme.current().phase_color(curve.phase_index)
    filled = outline if curve.kind == "hand" else theme.color("sheet")
    return SYMBOLS[curve.phase_index % 3], outline, filled, 11.0 if curve.kind == "hand" else 9.0


class CurveItems:
    """The line, the points and the crossed points of one curve on one paper."""

    def __init__(self, paper: Paper) -> None:
        self.line = pg.PlotCurveItem()
        self.points = Markers(paper.grid.boundingRect)
        self.struck = Markers(paper.grid.boundingRect)
        self._shown: CurveLine | None = None
        for item in (self.line, self.points, self.struck):
            paper.getPlotItem().addItem(item, ignoreBounds=True)

    def show(self, curve: CurveLine | None, *, force: bool = False) -> None:
        """Draw another curve, or nothing."""
        if curve == self._shown and not force:
            return
        self._shown = curve
        for item in (self.line, self.points, self.struck):
            item.setVisible(curve is not None)
        if curve is None:
            return
        self.line.setData(
            logscale.positions(curve.line.current_a),
            logscale.positions(curve.line.voltage_v),
            pen=line_pen(curve),
        )
        symbol, outline, filled, size = marker(curve)
        points = curve.points
        self.points.set_data(points.current_a, points.voltage_v, symbol, size, pen_of(outline, 2), filled)
        self.struck.set_data(
            [*curve.struck.current_a, *curve.doubtful.current_a],
            [*curve.struck.voltage_v, *curve.doubtful.voltage_v],
            markers.CROSS, 13.0, pen_of("ink", 1.8),
        )  # fmt: skip
        level = _HAND_LEVEL if curve.kind == "hand" else _SISTER_LEVEL
        for more, item in enumerate((self.line, self.points, self.struck)):
            item.setZValue(level + more)


class MarkItems:
    """Marks beside the curves: plate corner, next volts, the point being keyed; on the detail the knees."""

    def __init__(self, paper: Paper, *, with_knees: bool) -> None:
        self._with_knees = with_knees
        self.names_next = with_knees
        self._drawn: tuple[object, ...] | None = None
        self._keyed: tuple[tuple[float, float] | None, int] | None = None
        area = paper.grid.boundingRect
        self.corner, self.ring, self.inner = Markers(area), Markers(area), Markers(area)
        self.tick_45, self.tick_30 = Markers(area), Markers(area)
        self.next_level = pg.InfiniteLine(angle=0, movable=False)
        self.step = pg.PlotCurveItem(connect="pairs")
        self.labels = [pg.TextItem(anchor=(0, 0)) for _ in KNEES]
        self.corner_label = pg.TextItem(anchor=(-0.12, -0.3))
        self.next_label = pg.TextItem(anchor=(0, 1))
        items = (self.corner, self.next_level, self.step, self.tick_45, self.tick_30, self.ring, self.inner)
        for level, item in enumerate((*items, *self.labels, self.corner_label, self.next_label)):
            item.setZValue(_MARK_LEVEL + level)
            paper.getPlotItem().addItem(item, ignoreBounds=True)
        self.show_keyed(None, -1)

    def show(self, content: PlotContent, left: float, *, force: bool = False) -> None:
        """Draw the marks of a content; `left` is the position of the paper's left edge."""
        if force:
            self._keyed = self._drawn = None
        knees = tuple((curve.key, curve.knees) for curve in content.curves) if self._with_knees else ()
        drawn = (content.plate_limit, content.next_voltage_v, knees, left, self.names_next)
        if drawn == self._drawn:
            return
        self._drawn = drawn
        self._show_corner(content)
        self._show_next(content, left)
        for label in self.labels:
            label.setVisible(False)
        if self._with_knees:
            self._show_knees(content)

    def show_keyed(self, point: tuple[float, float] | None, phase_index: int) -> None:
        """Draw the plum ring around the point being keyed: (volts, amperes)."""
        if (point, phase_index) == self._keyed:
            return
        self._keyed = (point, phase_index)
        self.ring.setVisible(point is not None)
        self.inner.setVisible(point is not None)
        if point is None:
            return
        volts, amperes = [point[0]], [point[1]]
        self.ring.set_data(amperes, volts, markers.CIRCLE, 26.0, pen_of("here", 2.5))
        symbol = SYMBOLS[phase_index % 3]
        self.inner.set_data(amperes, volts, symbol, 12.0, pen_of("here", 2.2), theme.color("sheet"))

    def _show_corner(self, content: PlotContent) -> None:
        limit = content.plate_limit
        self.corner.setVisible(limit is not None)
        self.corner_label.setVisible(limit is not None and not self._with_knees)
        if limit is None:
            return
        self.corner.set_data([limit[0]], [limit[1]], markers.CORNER, 60.0, pen_of("ink", 2.4))
        if not self._with_knees:
            _set_text(self.corner_label, "plate limit", "ink")
            self.corner_label.setPos(logscale.position(limit[0]), logscale.position(limit[1]))

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
        marks = [mark for curve in content.curves for mark in curve.knees]
        self._show_steps([mark for mark in marks if mark.name == "iec"])
        for item, symbol, name in (
            (self.tick_45, markers.TICK_45, "tangent45"),
            (self.tick_30, markers.TICK_30, "tangent30"),
        ):
            here = [mark for mark in marks if mark.name == name]
            amperes, volts = [mark.current_a for mark in here], [mark.voltage_v for mark in here]
            item.set_data(amperes, volts, symbol, 24.0, pen_of("ink", 2.6))
        # Each definition is named once: at the curve in hand, else at the last that has it.
        named = {mark.name: mark for mark in marks}
        for label, mark in zip(self.labels, named.values(), strict=False):
            _name_knee(label, mark)

    def _show_steps(self, steps: list[KneeMark]) -> None:
        x, y = [], []
        for mark in steps:
            low, high = logscale.position(mark.current_a), logscale.position(1.5 * mark.current_a)
            base, top = logscale.position(mark.voltage_v), logscale.position(1.1 * mark.voltage_v)
            x += [low, low, low, high]
            y += [base, top, top, top]
        self.step.setData(np.array(x), np.array(y), pen=pen_of("ink", 1.8))


def _name_knee(label: pg.TextItem, mark: KneeMark) -> None:
    _set_text(label, dict(KNEES)[mark.name], "ink", filled=False)
    x, y = logscale.position(mark.current_a), logscale.position(mark.voltage_v)
    if mark.name == "iec":
        label.setAnchor((0, 1))
        label.setPos(x, logscale.position(1.1 * mark.voltage_v))
    else:
        label.setAnchor((-0.4, -0.2))
        label.setPos(x, y)
    label.setVisible(True)


def _set_text(item: pg.TextItem, words: str, role: str, *, filled: bool = True) -> None:
    item.setFont(theme.font("label", bold=True))
    item.setColor(theme.color(role))
    item.setText(words)
    item.fill = pg.mkBrush(theme.color("sheet") if filled else None)
