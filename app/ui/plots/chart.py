"""A plain chart on even paper: series told apart as curves are, and limits as heavy lines."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.ui import theme
from app.ui.plots import layers, markers
from app.ui.plots.axes import Axis
from app.ui.plots.logscale import Span
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.plots.ruled import Line

_TITLE_PX = 26
_LEGEND_PX = 22
_PICK_PX = 16.0
_LEAST_SPAN = 1e-12
_OTHER_LOOK = (QEvent.Type.PaletteChange, QEvent.Type.DevicePixelRatioChange)


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Points of one core in the order of x; `rows` where a touch may take one in hand."""

    words: str
    phase_index: int
    x: tuple[float, ...]
    y: tuple[float, ...]
    rows: tuple[str, ...] = ()
    in_hand: bool = False


@dataclass(frozen=True, slots=True)
class LimitLine:
    """A limit along x; readings beyond it are outside. `above` says on which side that is."""

    x: tuple[float, ...]
    y: tuple[float, ...]
    above: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartContent:
    """All that a chart shows; a sentence where there is nothing to draw yet."""

    title: str
    axis_x: Axis
    axis_y: Axis
    series: tuple[Series, ...] = ()
    limits: tuple[LimitLine, ...] = ()
    from_zero: bool = False
    empty_words: str = ""


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
        self.paper = RuledPaper(content.axis_x, content.axis_y, self)
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

    def toggle_enlarged(self) -> None:
        """There is no knee here."""

    def row_at(self, place: QPointF) -> str:
        """The row of the nearest point in hand, where one is near."""
        near = [
            ((self.paper.at(x, y) - place).manhattanLength(), row)
            for series in self._series
            if series.in_hand
            for x, y, row in zip(series.x, series.y, series.rows, strict=False)
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
        self.paper.setGeometry(self.rect().adjusted(0, _TITLE_PX + _LEGEND_PX, -4, -4))

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
            self._draw_legend(painter)
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
        self._left_out_count = sum(len(one.x) for one in content.series) - sum(len(one.x) for one in series)
        self._series = [one for one in series if one.x]
        if self._series:
            lines = [_edge(limit) for limit in limits]
            lines += [_line(one) for one in sorted(self._series, key=lambda one: one.in_hand)]
            x, y = _ranges(content, [*self._series, *limits])
            self.paper.show_lines(content.axis_x, content.axis_y, x, y, lines)
        self.paper.setVisible(bool(self._series))
        self._say()
        self.update()

    def _draw_legend(self, painter: QPainter) -> None:
        """One line under the headline: every series, then how many points are not drawn."""
        font = theme.font("second")
        metrics = QFontMetricsF(font)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font)
        left, middle = 12.0, _TITLE_PX + _LEGEND_PX / 2 - 2
        for series in self._series:
            outline = theme.current().phase_color(series.phase_index)
            filled = outline if series.in_hand else theme.color("sheet")
            symbol = layers.SYMBOLS[series.phase_index % 3]
            place = [QPointF(left + 6, middle)]
            markers.draw(painter, place, symbol, 10.0, QPen(outline, 2.0), filled)
            painter.setPen(theme.color("ink"))
            wide = metrics.horizontalAdvance(series.words)
            box = QRectF(left + 17, middle - 12, wide + 4, 24)
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, series.words)
            left += wide + 36
        box = QRectF(left, middle - 12, max(self.width() - left, 0.0), 24)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, self._left_out())

    def _left_out(self) -> str:
        return text("plot.left_out", count=self._left_out_count) if self._left_out_count else ""

    def _say(self) -> None:
        self.setAccessibleName(self._content.title)
        said = [f"{series.words}: {len(series.x)}" for series in self._series] or [self._content.empty_words]
        self.setAccessibleDescription("; ".join(part for part in (*said, self._left_out()) if part))


def _line(series: Series) -> Line:
    """In hand thick with filled marks, else thin with open ones."""
    from app.ui.plots.ruled import Line, Mark

    pen = layers.phase_pen(series.phase_index, 3.0 if series.in_hand else 2.0)
    size_px, filled = (11.0, pen.color()) if series.in_hand else (9.0, theme.color("sheet"))
    return Line(series.x, series.y, pen, Mark(layers.SYMBOLS[series.phase_index % 3], size_px, filled))


def _edge(limit: LimitLine) -> Line:
    """A heavy line with teeth on the forbidden side."""
    from app.ui.plots.ruled import Line

    return Line(limit.x, limit.y, layers.pen_of("ink", 2.4), teeth="above" if limit.above else "below")


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
