"""How curves and marks are drawn on a paper; told apart by line, marker, weight and colour."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from app.ui import theme
from app.ui.plots import markers
from app.ui.plots.content import KNEES, CurveLine, KneeMark, Pairs, PlotContent
from app.ui.plots.paper import Paper
from app.ui.texts import text
from app.words import figures

SYMBOLS = (markers.CIRCLE, markers.SQUARE, markers.TRIANGLE)
DASHES: tuple[list[float], ...] = ([], [11.0, 5.0], [0.1, 2.0])
_TICK_EVERY_PX = 13.0
_HATCH_EVERY_PX = 9.0
_HATCH_PX = 11.0


def pen_of(role: str | QColor, width_px: float) -> QPen:
    """A pen in a colour of the theme, or in a colour given."""
    return QPen(theme.color(role) if isinstance(role, str) else role, width_px)


def symbol_of(phase_index: int) -> QPainterPath:
    """The mark of a phase; of what is no phase it changes anew with every third one, so that nine differ."""
    if phase_index >= 0:
        return SYMBOLS[phase_index % 3]
    count = -1 - phase_index
    return SYMBOLS[(count + count // 3) % 3]


def phase_pen(phase_index: int, width_px: float) -> QPen:
    """The line of a phase: solid, dashed or dotted; what is no phase counts down from -1 and takes ink."""
    pen = pen_of(theme.current().phase_color(phase_index), width_px)
    dashes = DASHES[(phase_index if phase_index >= 0 else -1 - phase_index) % 3]
    if dashes and dashes[0] > 1:
        pen.setDashPattern([entry / width_px for entry in dashes])
    elif dashes:
        pen.setDashPattern(dashes)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen


def line_pen(curve: CurveLine) -> QPen:
    """The line of a curve: by phase; thick in hand, thin for references."""
    if curve.kind == "certificate":
        return pen_of("ink", 1.4)
    if curve.kind == "previous":
        pen = pen_of("ink", 1.4)
        pen.setDashPattern([10, 4, 2, 4])
        return pen
    return phase_pen(curve.phase_index, 4.0 if curve.kind == "hand" else 2.5)


def marker(curve: CurveLine) -> tuple[QPainterPath, QColor, QColor, float]:
    """Symbol, outline, filling and size of a curve's points."""
    if curve.kind == "certificate":
        return markers.CROSS_TICK, theme.color("ink"), theme.color("ink"), 9.0
    if curve.kind == "previous":
        return markers.DIAMOND, theme.color("ink"), theme.color("sheet"), 9.0
    outline = theme.current().phase_color(curve.phase_index)
    filled = outline if curve.kind == "hand" else theme.color("sheet")
    return SYMBOLS[curve.phase_index % 3], outline, filled, 11.0 if curve.kind == "hand" else 9.0


def draw_curve(painter: QPainter, paper: Paper, curve: CurveLine) -> None:
    """The line, the points, and crossed those that were struck or went down."""
    line = paper.points(curve.line.current_a, curve.line.voltage_v)
    painter.setPen(line_pen(curve))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(QPolygonF(line))
    symbol, outline, filled, size = marker(curve)
    if curve.kind == "certificate":
        markers.draw(painter, along(line, _TICK_EVERY_PX), symbol, size, pen_of(outline, 1.4))
    else:
        markers.draw(painter, _places(paper, curve.points), symbol, size, pen_of(outline, 2.0), filled)
    crossed = _places(paper, curve.struck)
    markers.draw(painter, crossed, symbol, size, pen_of(outline, 1.6))
    markers.draw(painter, crossed, markers.CROSS, 13.0, pen_of("ink", 1.8))
    _draw_doubtful(painter, paper, curve)


def _draw_doubtful(painter: QPainter, paper: Paper, curve: CurveLine) -> None:
    """Points that left the curve, open, with a question mark beside them."""
    places = _places(paper, curve.doubtful)
    if not places:
        return
    symbol, outline, _, size = marker(curve)
    markers.draw(painter, places, symbol, size, pen_of(outline, 1.8), theme.color("sheet"))
    painter.setPen(theme.color("ink"))
    painter.setFont(theme.font("second", bold=True))
    for place in places:
        painter.drawText(place + QPointF(8, 6), "?")


def _places(paper: Paper, pairs: Pairs) -> list[QPointF]:
    return paper.points(pairs.current_a, pairs.voltage_v)


def along(line: list[QPointF], every_px: float) -> list[QPointF]:
    """Places along a line at equal distances."""
    found: list[QPointF] = []
    gone = 0.0
    for start, end in pairwise(line):
        step = end - start
        length = (step.x() ** 2 + step.y() ** 2) ** 0.5
        while length > 0.0 and gone + every_px <= length:
            gone += every_px
            found.append(start + step * (gone / length))
        gone -= length
    return found


# Marks beside the curves


def draw_settled(painter: QPainter, paper: Paper, content: PlotContent, *, named: bool) -> None:
    """What stays while one types: the envelope, the plate's corner, the curves beside, the duty points."""
    _draw_envelope(painter, paper, content.envelope, named=named)
    for curve in content.settled:
        draw_curve(painter, paper, curve)
    if content.plate_limit is not None:
        place = paper.at(*content.plate_limit)
        markers.draw(painter, [place], markers.CORNER, 60.0, pen_of("ink", 2.4))
        if named:
            _word(painter, place + QPointF(10, 10), text("plot.plate_limit"))
    for point in content.duty:
        if paper.holds(point.current_a, point.voltage_v):
            paint_duty(painter, paper.at(point.current_a, point.voltage_v))


def _draw_envelope(painter: QPainter, paper: Paper, edge: Pairs, *, named: bool) -> None:
    """A band of hatching on the forbidden side of the edge: lower right of it."""
    if len(edge) < 2:
        return
    line = _places(paper, edge)
    painter.setPen(pen_of("ink", 1.2))
    painter.drawPolyline(QPolygonF(line))
    for place in along(line, _HATCH_EVERY_PX):
        painter.drawLine(place, place + QPointF(_HATCH_PX, _HATCH_PX))
    if named:
        _word(painter, line[len(line) // 4] + QPointF(16, 12), text("plot.envelope"))


def paint_duty(painter: QPainter, place: QPointF, scale: float = 1.0) -> None:
    """A cross in a square."""
    markers.draw(painter, [place], markers.SQUARE, 13.0 * scale, pen_of("ink", 2.0 * scale))
    markers.draw(painter, [place], markers.PLUS, 24.0 * scale, pen_of("ink", 2.0 * scale))


def _word(painter: QPainter, place: QPointF, words: str, *, role: str = "ink") -> None:
    """A word on the sheet's own ground; `place` is its upper left."""
    font = theme.font("label", bold=True)
    painter.setFont(font)
    box = QRectF(place.x(), place.y(), QFontMetricsF(font).horizontalAdvance(words) + 4, 18)
    painter.fillRect(box, theme.color("sheet"))
    painter.setPen(theme.color(role))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)


def draw_next(painter: QPainter, paper: Paper, voltage_v: float | None, *, named: bool) -> None:
    """The next volts to take as a dotted level, with its figure but without an expected current."""
    if voltage_v is None:
        return
    y, area = paper.pixel_y(paper.axis_y.position(voltage_v)), paper.area
    if not area.top() <= y <= area.bottom():
        return
    pen = pen_of("here", 1.8)
    pen.setDashPattern([1.6, 2.2])
    painter.setPen(pen)
    painter.drawLine(QPointF(area.left(), y), QPointF(area.right(), y))
    if named:
        words = text("plot.next", volts=figures.with_unit(voltage_v, "V", significant=3))
        _word(painter, QPointF(area.left() + 3, y - 19), words, role="here")


def draw_ring(painter: QPainter, paper: Paper, point: tuple[float, float], phase_index: int) -> None:
    """The plum ring around the point (volts, amperes) that is being keyed or was picked."""
    place = [paper.at(point[1], point[0])]
    markers.draw(painter, place, markers.CIRCLE, 26.0, pen_of("here", 2.5))
    symbol = SYMBOLS[phase_index % 3]
    markers.draw(painter, place, symbol, 12.0, pen_of("here", 2.2), theme.color("sheet"))


def draw_knees(painter: QPainter, paper: Paper, curves: Iterable[CurveLine]) -> None:
    """The 10/50 step to scale, and ticks at the 45 and 30 degree points; each definition named once."""
    marks = [mark for curve in curves for mark in curve.knees]
    for mark in marks:
        if mark.name == "iec":
            _draw_step(painter, paper, mark)
    for symbol, name in ((markers.TICK_45, "tangent45"), (markers.TICK_30, "tangent30")):
        places = [paper.at(mark.current_a, mark.voltage_v) for mark in marks if mark.name == name]
        markers.draw(painter, places, symbol, 24.0, pen_of("ink", 2.6))
    # Named at the curve in hand, which comes last, else at the last that has it.
    for mark in {mark.name: mark for mark in marks}.values():
        _name_knee(painter, paper, mark)


def _draw_step(painter: QPainter, paper: Paper, mark: KneeMark) -> None:
    corner = paper.at(mark.current_a, 1.1 * mark.voltage_v)
    painter.setPen(pen_of("ink", 1.8))
    painter.drawPolyline(
        QPolygonF(
            [
                paper.at(mark.current_a, mark.voltage_v),
                corner,
                paper.at(1.5 * mark.current_a, 1.1 * mark.voltage_v),
            ]
        )
    )


def _name_knee(painter: QPainter, paper: Paper, mark: KneeMark) -> None:
    words = dict(KNEES)[mark.name]
    if mark.name == "iec":
        _word(painter, paper.at(mark.current_a, 1.1 * mark.voltage_v) + QPointF(1, -21), words)
    else:
        _word(painter, paper.at(mark.current_a, mark.voltage_v) + QPointF(14, 6), words)
