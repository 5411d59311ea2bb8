"""A plain chart on even paper: series told apart as curves are, and limits as heavy lines."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QFontMetricsF,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from app.ui import theme
from app.ui.plots import layers, markers
from app.ui.plots.axes import Axis
from app.ui.plots.logscale import Span
from app.ui.plots.paper import Paper

_TITLE_PX = 26
_LEGEND_PX = 22
_PICK_PX = 16.0
_LEAST_SPAN = 1e-12


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
    """Draws a chart once for each content and size; `picked` carries the row of a point that was touched."""

    picked = Signal(str)

    def __init__(self, content: ChartContent, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content = content
        self._picture: QPixmap | None = None
        self.paper = Paper(content.axis_x, content.axis_y, left_px=52)
        self.setMinimumSize(300, 200)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self._say()

    @property
    def content(self) -> ChartContent:
        """What is drawn."""
        return self._content

    def show_content(self, content: ChartContent) -> None:
        """Draw another content."""
        if content != self._content:
            self._content = content
            self._forget()

    def show_keyed(self, point: tuple[float, float] | None) -> None:
        """A chart follows what is kept; what is being keyed is not on it yet."""

    def toggle_enlarged(self) -> None:
        """There is no knee here."""

    def row_at(self, place: QPointF) -> str:
        """The row of the nearest point in hand, where one is near."""
        near = [
            ((found - place).manhattanLength(), row)
            for series in self._content.series
            if series.in_hand
            for found, row in zip(self.paper.points(series.x, series.y), series.rows, strict=False)
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
        """Draw anew."""
        super().resizeEvent(event)
        self._forget()

    def changeEvent(self, event: QEvent) -> None:
        """Take the colours of another theme."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "paper"):
            self._forget()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The picture."""
        if self._picture is None or self._picture.devicePixelRatioF() != self.devicePixelRatioF():
            self._picture = self._drawn()
        QPainter(self).drawPixmap(0, 0, self._picture)

    def _forget(self) -> None:
        self._picture = None
        self._say()
        self.update()

    def _say(self) -> None:
        self.setAccessibleName(self._content.title)
        said = [f"{series.words}: {len(series.x)}" for series in self._content.series]
        self.setAccessibleDescription("; ".join(said) or self._content.empty_words)

    # Drawing

    def _drawn(self) -> QPixmap:
        ratio, content = self.devicePixelRatioF(), self._content
        made = QPixmap(self.size() * ratio)
        made.setDevicePixelRatio(ratio)
        made.fill(theme.color("sheet"))
        painter = QPainter(made)
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("second", bold=True))
        head = QRectF(10, 4, self.width() - 20, _TITLE_PX - 4)
        painter.drawText(head, Qt.AlignmentFlag.AlignVCenter, content.title)
        if not content.series:
            painter.setFont(theme.font("finding"))
            painter.drawText(head.translated(0, 26), Qt.AlignmentFlag.AlignVCenter, content.empty_words)
            painter.end()
            return made
        self.paper.axis_x, self.paper.axis_y = content.axis_x, content.axis_y
        self.paper.place(self.rect().adjusted(0, _TITLE_PX + _LEGEND_PX, -4, -4))
        self.paper.set_ranges(*_ranges(content))
        self.paper.paint(painter)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setClipRect(self.paper.area)
        for limit in content.limits:
            self._draw_limit(painter, limit)
        for series in sorted(content.series, key=lambda one: one.in_hand):
            self._draw_series(painter, series)
        painter.setClipping(False)
        self._draw_legend(painter)
        painter.end()
        return made

    def _draw_series(self, painter: QPainter, series: Series) -> None:
        places = self.paper.points(series.x, series.y)
        outline = theme.current().phase_color(series.phase_index)
        painter.setPen(layers.phase_pen(series.phase_index, 3.0 if series.in_hand else 2.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF(places))
        symbol = layers.SYMBOLS[series.phase_index % 3]
        filled = outline if series.in_hand else theme.color("sheet")
        markers.draw(painter, places, symbol, 11.0 if series.in_hand else 9.0, QPen(outline, 2.0), filled)

    def _draw_limit(self, painter: QPainter, limit: LimitLine) -> None:
        """A heavy line with teeth on the forbidden side."""
        line = self.paper.points(limit.x, limit.y)
        painter.setPen(layers.pen_of("ink", 2.4))
        painter.drawPolyline(QPolygonF(line))
        side = -7.0 if limit.above else 7.0
        painter.setPen(layers.pen_of("ink", 1.4))
        for place in layers.along(line, 11.0):
            painter.drawLine(place, place + QPointF(7.0, side))

    def _draw_legend(self, painter: QPainter) -> None:
        """One line under the headline: sample and words of every series."""
        font = theme.font("second")
        metrics = QFontMetricsF(font)
        painter.setFont(font)
        left, middle = 12.0, _TITLE_PX + _LEGEND_PX / 2 - 2
        for series in self._content.series:
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


def _ranges(content: ChartContent) -> tuple[Span, Span]:
    parts: list[Series | LimitLine] = [*content.series, *content.limits]
    x, y = [value for part in parts for value in part.x], [value for part in parts for value in part.y]
    return (
        _range(content.axis_x, x, from_zero=content.from_zero),
        _range(content.axis_y, y, from_zero=content.from_zero),
    )


def _range(axis: Axis, values: list[float], *, from_zero: bool) -> Span:
    """All values with a tenth of room at both ends; from zero where that is asked for."""
    places = [axis.position(value) for value in values if value > 0.0 or not axis.is_log]
    low, high = min(places), max(places)
    if from_zero and not axis.is_log:
        low, high = min(low, 0.0), max(high, 0.0)
    room = 0.1 * max(high - low, _LEAST_SPAN, 0.05 * max(abs(low), abs(high)))
    return Span(low if from_zero and low == 0.0 else low - room, high + room)
