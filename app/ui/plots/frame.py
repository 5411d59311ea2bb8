"""Where things lie on the excitation plot: ranges, legend, knee table and the enlarged knee."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QPainter

from app.ui import theme
from app.ui.plots import logscale
from app.ui.plots.content import CurveLine, PlotContent
from app.ui.plots.legend import Legend
from app.ui.plots.logscale import Floats
from app.ui.plots.paper import Paper
from app.ui.texts import text

_EDGE_PX = 12
_CLEAR_PX = 14
_LEAST_DETAIL_PX = 120
_STEP = 0.05
_CORNER_PX = np.array([0.0, 15.0, 30.0])
_CROSS_X_PX = np.array([0.0, -12.0, 12.0, 0.0, 0.0])
_CROSS_Y_PX = np.array([0.0, 0.0, 0.0, -12.0, 12.0])


def extent(content: PlotContent) -> tuple[logscale.Span, logscale.Span]:
    """The ranges that hold curves, plate and next volts; a duty point far off does not make them small."""
    parts = [pairs for curve in content.curves for pairs in (curve.points, curve.struck, curve.doubtful)]
    volts = [v for pairs in parts for v in pairs.voltage_v]
    amperes = [i for pairs in parts for i in pairs.current_a]
    if content.plate_limit is not None:
        amperes.append(content.plate_limit[0])
        volts.append(content.plate_limit[1])
    if content.next_voltage_v is not None:
        volts.append(content.next_voltage_v)
    volts, amperes = [v for v in volts if v > 0], [i for i in amperes if i > 0]
    if not volts or not amperes:
        return logscale.Span(-3.0, 0.0), logscale.Span(1.0, 3.0)
    return (
        _in_steps(logscale.position(min(amperes) * 0.6), logscale.position(max(amperes) * 1.1)),
        _in_steps(logscale.position(min(volts) * 0.65), logscale.position(max(volts) * 1.25)),
    )


def _in_steps(low: float, high: float) -> logscale.Span:
    """Ends in steps, so that the paper stays while readings come in."""
    return logscale.Span(math.floor(low / _STEP) * _STEP, math.ceil(high / _STEP) * _STEP)


def table_box(whole: QRect, paper: Paper, size: QSize, content: PlotContent, *, low: bool) -> QRect:
    """The knee table lies upper right, low on a small plot; it moves out of the way of what is drawn there.

    Where no place is free of the curve in hand it lies at least beside plate limit and duty points.
    """
    if size.isEmpty():
        return QRect()
    bottom = whole.height() - paper.below_px - 9 - size.height()
    left = whole.width() - _EDGE_PX - size.width() - 1
    usual = QRect(left, bottom if low else 9, size.width(), size.height())
    marks = occupied(paper, replace(content, curves=()))
    for drawn in (occupied(paper, replace(content, curves=content.curves[-1:])), marks):
        x, y = drawn
        beneath = np.sort(y[x > left - _CLEAR_PX])
        moved = beneath[::-1] - _CLEAR_PX - size.height() if low else beneath + _CLEAR_PX
        tops = [usual.top(), *(int(top) for top in moved), 9, bottom]
        lefts = (left, int(paper.area.left()) + 6)
        for place in (QRect(at, top, size.width(), size.height()) for at in lefts for top in tops):
            if 9 <= place.top() <= max(bottom, 9) and is_free(place, drawn):
                return place
    return usual


def detail_box(whole: QRect, paper: Paper, table: QRect, *, full: bool) -> QRect:
    """The enlarged knee lies lower right beneath the table, or fills the plot; empty without room."""
    bottom = whole.height() - paper.below_px - 9
    if full:
        return QRect(paper.left_px + 1, 8, whole.width() - _EDGE_PX - paper.left_px - 2, bottom - 8)
    wide = min(max(304, int(0.42 * whole.width())), int(0.5 * whole.width()))
    tall = min(max(204, int(0.46 * whole.height())), bottom - table.bottom() - 15)
    if tall <= _LEAST_DETAIL_PX:
        return QRect()
    return QRect(whole.width() - 17 - wide, bottom - tall, wide, tall)


def legend_box(paper: Paper, legend: Legend, drawn: tuple[Floats, Floats], taken: Sequence[QRect]) -> QRect:
    """A place where the legend hides neither a curve nor a table; empty where there is none.

    `drawn` are the pixels of what may not be hidden, as `occupied` finds them.
    """
    size, area = legend.size(), paper.area
    x, _ = drawn
    left, top = area.left() + 6, area.top() + 4
    right, low = area.right() - size.width() - 6, area.bottom() - size.height() - 4
    beyond = float(x.max(initial=left)) + 24
    for place_x, place_y in ((left, top), (beyond, top), (right, low), (beyond, low), (left, low)):
        box = QRectF(place_x, place_y, size.width(), size.height())
        if (
            area.contains(box)
            and not any(QRectF(other).intersects(box) for other in taken if not other.isEmpty())
            and is_free(box, drawn)
        ):
            return box.toRect()
    return QRect()


def is_free(box: QRectF | QRect, drawn: tuple[Floats, Floats]) -> bool:
    """Whether nothing that is drawn lies in a box or close to it."""
    x, y = drawn
    wide = QRectF(box).adjusted(-6, -6, 6, 6)
    inside = (x > wide.left()) & (x < wide.right()) & (y > wide.top()) & (y < wide.bottom())
    return box.isEmpty() or not inside.any()


def occupied(paper: Paper, content: PlotContent) -> tuple[Floats, Floats]:
    """Pixels of everything that a legend could hide."""
    parts = [pairs for curve in content.curves for pairs in (curve.line, curve.points, curve.struck)]
    found = [paper.pixels(pairs.current_a, pairs.voltage_v) for pairs in parts if len(pairs)]
    for point in content.duty:
        x, y = paper.pixels([point.current_a], [point.voltage_v])
        found.append((x + _CROSS_X_PX, y + _CROSS_Y_PX))
    if content.plate_limit is not None:
        x, y = paper.pixels([content.plate_limit[0]], [content.plate_limit[1]])
        found.append((x + _CORNER_PX, y + _CORNER_PX))
    if not found:
        return np.array([]), np.array([])
    return np.concatenate([x for x, _ in found]), np.concatenate([y for _, y in found])


def detail_middle(content: PlotContent) -> tuple[float, float]:
    """Where one looks for the knee: in hand, else of a sister, else the plate, else the last point."""
    hand = content.in_hand
    for curve in (*([hand] if hand else []), *content.curves):
        if curve.knees:
            return _middle_of_knees(curve)
    if content.plate_limit is not None:
        return logscale.position(content.plate_limit[0]), logscale.position(content.plate_limit[1])
    pairs = [
        pair for c in content.curves for pair in zip(c.points.voltage_v, c.points.current_a, strict=True)
    ]
    volts, amperes = max(pairs, default=(100.0, 0.01))
    return logscale.position(amperes), logscale.position(volts)


def _middle_of_knees(curve: CurveLine) -> tuple[float, float]:
    """Half way between the lowest knee and the far end of the 10/50 step."""
    ends = [(mark.current_a, mark.voltage_v) for mark in curve.knees]
    iec = curve.knee("iec")
    if iec is not None:
        ends.append((1.5 * iec.current_a, 1.1 * iec.voltage_v))
    x, y = [logscale.position(i) for i, _ in ends], [logscale.position(v) for _, v in ends]
    return (min(x) + max(x)) / 2, (min(y) + max(y)) / 2


def paint_headline(painter: QPainter, box: QRect) -> None:
    """Frame and headline of the enlarged knee."""
    painter.setPen(theme.color("border"))
    painter.drawRect(box.adjusted(0, 0, -1, -1))
    painter.setPen(theme.color("ink"))
    painter.setFont(theme.font("second", bold=True))
    line = QRect(box.left() + 38, box.top() + 4, box.width() - 46, 20)
    shown = painter.fontMetrics().elidedText(
        text("plot.detail"), Qt.TextElideMode.ElideRight, line.width() - 26
    )
    side = Qt.AlignmentFlag.AlignVCenter
    painter.drawText(line.adjusted(0, 0, -26, 0), Qt.AlignmentFlag.AlignLeft | side, shown)
    painter.setFont(theme.font("key"))
    painter.setPen(theme.color("label"))
    painter.drawText(line, Qt.AlignmentFlag.AlignRight | side, "F7")
