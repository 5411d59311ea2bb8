"""A plain chart on even paper: series told apart as curves are, and limits as heavy lines."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal, TypeVar

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.ui import theme
from app.ui.plots import chart_legend, layers, logscale, markers
from app.ui.plots.axes import Axis
from app.ui.plots.logscale import Span
from app.ui.plots.pins import Pin, PinLayer, told
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.plots.ruled import Line, Teeth

Marks = Literal["each", "last", "none"]
_TITLE_PX = 26
_RING_PX = 24.0
_PICK_PX = 16.0
_LEAST_SPAN = 1e-12
_OTHER_LOOK = (QEvent.Type.PaletteChange, QEvent.Type.DevicePixelRatioChange)


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Points of one core in the order they are joined; `rows` where a touch may take one in hand.

    `marks` says which of its points carry a mark.
    """

    words: str
    phase_index: int
    x: tuple[float, ...]
    y: tuple[float, ...]
    rows: tuple[str, ...] = ()
    in_hand: bool = False
    marks: Marks = "each"


@dataclass(frozen=True, slots=True)
class LimitLine:
    """A limit along x; readings beyond it are outside. `above` says on which side that is.

    An arc around the origin has `round_origin`: beyond it is away from the origin, or towards it. One that is
    drawn without teeth says only where something would be too large to be none.
    """

    x: tuple[float, ...]
    y: tuple[float, ...]
    above: bool
    round_origin: bool = False
    toothed: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartContent:
    """All that a chart shows; a sentence where there is nothing to draw yet."""

    title: str
    axis_x: Axis
    axis_y: Axis
    series: tuple[Series, ...] = ()
    limits: tuple[LimitLine, ...] = ()
    from_zero: bool = False
    square: bool = False
    left_out_count: int = 0
    empty_words: str = ""
    pins: tuple[Pin, ...] = ()


class Chart(QWidget):
    """Headline and legend over a ruled paper; `picked` carries the row of a point that was touched."""

    picked = Signal(str)

    def __init__(self, content: ChartContent, parent: QWidget | None = None) -> None:
        # Late, since whoever fills a chart reads this module, and the plotting library is slow to import.
        from app.ui.plots.ruled import RuledPaper

        super().__init__(parent)
        self._content = content
        self._series: list[Series] = []
        self._left_out_count = 0
        self._row = ""
        self._legend = QRect()
        self.paper = RuledPaper(content.axis_x, content.axis_y, self)
        self.balloons = PinLayer(self)
        self.setMinimumSize(300, 200)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self._draw()

    @property
    def content(self) -> ChartContent:
        """What is drawn."""
        return self._content

    def show_content(self, content: ChartContent) -> None:
        """Draw another content."""
        if content != self._content:
            self._content = content
            self._draw()

    def show_keyed(self, point: tuple[float, float] | None) -> None:
        """A chart follows what is kept; what is being keyed is not on it yet."""

    def show_row(self, row: str) -> None:
        """Ring the points of the row in hand."""
        if row != self._row:
            self._row = row
            self._draw()

    def toggle_enlarged(self) -> None:
        """There is no knee here."""

    def row_at(self, place: QPointF) -> str:
        """The row of the nearest point in hand, where one is near."""
        near = [
            ((self.paper.at(x, y) - place).manhattanLength(), row)
            for series in self._series
            if series.in_hand
            for x, y, row in zip(series.x, series.y, series.rows, strict=False)
            if row
        ]
        far, row = min(near, default=(math.inf, ""))
        return row if far <= _PICK_PX else ""

    # Qt

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch on a point takes its row in hand."""
        row = self.row_at(event.position())
        if row:
            self.picked.emit(row)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the paper all that headline and legend leave."""
        super().resizeEvent(event)
        self._draw()

    def event(self, event: QEvent) -> bool:
        """Take the colours of another theme, and the widths of another screen."""
        done = super().event(event)
        if event.type() in _OTHER_LOOK and hasattr(self, "paper"):
            self.paper.dress()
            self._draw()
        return done

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Ground, headline, and the legend or the words of an empty chart."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("sheet"))
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("second", bold=True))
        head = QRectF(10, 4, self.width() - 20, _TITLE_PX - 4)
        painter.drawText(head, Qt.AlignmentFlag.AlignVCenter, self._content.title)
        if self._series:
            box, stacked = QRectF(self._legend), self._content.square
            chart_legend.paint(painter, box, self._series, self._left_out(), stacked=stacked)
            return
        painter.setFont(theme.font("finding"))
        words = "; ".join(part for part in (self._content.empty_words, self._left_out()) if part)
        painter.drawText(head.translated(0, 26), Qt.AlignmentFlag.AlignVCenter, words)

    # Drawing

    def _draw(self) -> None:
        """Give the paper the ranges and the lines of the content."""
        content = self._content
        series = [_drawable(one, content) for one in content.series]
        limits = [_drawable(one, content) for one in content.limits]
        held_count = sum(len(one.x) for one in content.series) - sum(len(one.x) for one in series)
        self._left_out_count = content.left_out_count + held_count
        self._series = [one for one in series if one.x]
        self._lay_out()
        if self._series:
            from app.ui.plots.ruled import paper_area_px

            lines = [_edge(limit) for limit in limits]
            ordered = sorted(self._series, key=lambda one: one.in_hand)
            lines += [line for one in ordered for line in _lines(one)]
            lines += _rings(ordered, self._row)
            x, y = _ranges(content, [*self._series, *limits])
            if content.square:
                x, y = logscale.equal_steps(x, y, *paper_area_px(self.paper.width(), self.paper.height()))
            self.paper.show_lines(content.axis_x, content.axis_y, x, y, lines)
        self.paper.setVisible(bool(self._series))
        self.balloons.show_pins(self._pinned(), self.paper.geometry())
        self._say()
        self.update()

    def _pinned(self) -> list[tuple[QPointF, Pin]]:
        """The comments with the places of the last point in hand of their row."""
        by_row = {pin.row: pin for pin in self._content.pins}
        if not by_row:
            return []
        places = {
            row: self.paper.at(x, y)
            for series in self._series
            if series.in_hand
            for x, y, row in zip(series.x, series.y, series.rows, strict=False)
            if row in by_row
        }
        return [(place, by_row[row]) for row, place in places.items()]

    def _lay_out(self) -> None:
        """The legend above the paper; beside it where the paper is square, which leaves room there."""
        whole = self.rect().adjusted(0, _TITLE_PX, -4, -4)
        if self._content.square:
            asked = chart_legend.least_wide_px(self._series, self._left_out())
            wide = int(min(asked, 0.5 * whole.width()))
            self._legend = whole.adjusted(whole.width() - wide, 4, 0, 0)
            self.paper.setGeometry(whole.adjusted(0, 0, -wide, 0))
        else:
            tall = chart_legend.tall_px(self._series, self._left_out(), whole.width())
            self._legend = whole.adjusted(0, 0, 0, tall - whole.height())
            self.paper.setGeometry(whole.adjusted(0, tall, 0, 0))

    def _left_out(self) -> str:
        return text("plot.left_out", count=self._left_out_count) if self._left_out_count else ""

    def _say(self) -> None:
        self.setAccessibleName(self._content.title)
        said = [f"{series.words}: {len(series.x)}" for series in self._series] or [self._content.empty_words]
        said += [self._left_out(), *told(self._content.pins)]
        self.setAccessibleDescription("; ".join(part for part in said if part))


def _lines(series: Series) -> list[Line]:
    """In hand thick with filled marks, else thin with open ones."""
    from app.ui.plots.ruled import Line, Mark

    pen = layers.phase_pen(series.phase_index, 3.0 if series.in_hand else 2.0)
    size_px, filled = (11.0, pen.color()) if series.in_hand else (9.0, theme.color("sheet"))
    mark = Mark(layers.symbol_of(series.phase_index), size_px, filled)
    if series.marks == "each":
        return [Line(series.x, series.y, pen, mark)]
    bare = Line(series.x, series.y, pen)
    return [bare, Line(series.x[-1:], series.y[-1:], pen, mark)] if series.marks == "last" else [bare]


def _rings(series: list[Series], row: str) -> list[Line]:
    """A ring around every point in hand of one row."""
    from app.ui.plots.ruled import Line, Mark

    held = [
        (x, y)
        for one in series
        if one.in_hand and row
        for x, y, its in zip(one.x, one.y, one.rows, strict=False)
        if its == row
    ]
    if not held:
        return []
    pen = QPen(theme.color("here"), 2.5, Qt.PenStyle.NoPen)
    ring = Mark(markers.CIRCLE, _RING_PX, QColor(Qt.GlobalColor.transparent))
    return [Line(tuple(x for x, _ in held), tuple(y for _, y in held), pen, ring)]


def _edge(limit: LimitLine) -> Line:
    """A heavy line with teeth on the forbidden side."""
    from app.ui.plots.ruled import Line

    pen = layers.pen_of("ink", 2.4 if limit.toothed else 1.6)
    side: Teeth = "above" if limit.above else "inwards" if limit.round_origin else "below"
    return Line(limit.x, limit.y, pen, teeth=side if limit.toothed else "")


_Part = TypeVar("_Part", Series, LimitLine)


def _drawable(part: _Part, content: ChartContent) -> _Part:
    """Without what its paper cannot show: not finite, and on equal decades zero and below."""
    good = [
        index
        for index, (x, y) in enumerate(zip(part.x, part.y, strict=True))
        if _fits(content.axis_x, x) and _fits(content.axis_y, y)
    ]
    x, y = (tuple(values[index] for index in good) for values in (part.x, part.y))
    if isinstance(part, Series) and part.rows:
        return replace(part, x=x, y=y, rows=tuple(part.rows[index] for index in good))
    return replace(part, x=x, y=y)


def _fits(axis: Axis, value: float) -> bool:
    return math.isfinite(value) and (value > 0.0 or not axis.is_log)


def _ranges(content: ChartContent, parts: list[Series | LimitLine]) -> tuple[Span, Span]:
    x, y = [value for part in parts for value in part.x], [value for part in parts for value in part.y]
    return (
        _range(content.axis_x, x, from_zero=content.from_zero),
        _range(content.axis_y, y, from_zero=content.from_zero),
    )


def _range(axis: Axis, values: list[float], *, from_zero: bool) -> Span:
    """All values with a tenth of room at both ends; from zero where that is asked for."""
    places = [axis.position(value) for value in values]
    low, high = min(places), max(places)
    if from_zero and not axis.is_log:
        low, high = min(low, 0.0), max(high, 0.0)
    room = 0.1 * max(high - low, _LEAST_SPAN, 0.05 * max(abs(low), abs(high)))
    return Span(low if from_zero and low == 0.0 else low - room, high + room)
