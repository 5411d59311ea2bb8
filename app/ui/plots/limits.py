"""Value against limit on one line: the brackets are the limits, the marker is the value."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.ui import theme
from app.ui.plots import layers, markers, pins
from app.ui.plots.pins import Pin
from app.ui.texts import text

ROW_PX = 54
_LEAST_ROW_PX = 42
_HEAD_PX = 30
_LOW_AT, _HIGH_AT = 0.28, 0.72
_DECADE = 0.14
_ENDS = (0.02, 0.98)


@dataclass(frozen=True, slots=True)
class Spot:
    """The value of one phase."""

    phase_index: int
    value: float
    in_hand: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRow:
    """One judged quantity: its values, its limits in figures, and whether decades are equal."""

    words: str
    shown: str
    spots: tuple[Spot, ...]
    low: float | None = None
    high: float | None = None
    low_text: str = ""
    high_text: str = ""
    is_log: bool = False
    row: str = ""

    def share(self, value: float) -> float:
        """Where a value lies along the line: 0 at its left end, 1 at its right."""
        return min(max(self._share(value), _ENDS[0]), _ENDS[1])

    def _share(self, value: float) -> float:
        if self.is_log:
            limit, at = (self.low, _LOW_AT) if self.low is not None else (self.high, _HIGH_AT)
            if not limit or value <= 0.0 or limit <= 0.0:
                return _ENDS[0]
            return at + _DECADE * math.log10(value / limit)
        if self.low is not None and self.high is not None:
            width = self.high - self.low
            return _LOW_AT + (_HIGH_AT - _LOW_AT) * (value - self.low) / width if width else 0.5
        limit, at = (self.low, _LOW_AT) if self.low is not None else (self.high, _HIGH_AT)
        return at * value / limit if limit else _ENDS[0]

    def side(self, value: float) -> Literal["between", "beyond"]:
        """Whether a value lies between the brackets."""
        under = self.low is not None and value < self.low
        over = self.high is not None and value > self.high
        return "beyond" if under or over else "between"


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRows:
    """All lines of one test; a sentence where no figure is judged yet."""

    title: str
    rows: tuple[LimitRow, ...] = ()
    empty_words: str = ""
    pins: tuple[Pin, ...] = ()


class LimitLines(QWidget):
    """A line for each judged figure; `picked` carries the row that was touched."""

    picked = Signal(str)

    def __init__(self, content: LimitRows, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content = content
        self.setMinimumSize(300, 200)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self._say()

    @property
    def content(self) -> LimitRows:
        """What is drawn."""
        return self._content

    def show_content(self, content: LimitRows) -> None:
        """Draw another content."""
        if content != self._content:
            self._content = content
            self._say()
            self.update()

    def show_keyed(self, point: tuple[float, float] | None) -> None:
        """Lines follow what is kept; what is being keyed is not on them yet."""

    def toggle_enlarged(self) -> None:
        """There is no knee here."""

    def sizeHint(self) -> QSize:
        """As tall as its lines."""
        return QSize(420, _HEAD_PX + ROW_PX * len(self._content.rows))

    def row_at(self, place: QPointF) -> str:
        """The row behind a line."""
        index = int((place.y() - _HEAD_PX) // self._tall()) if place.y() >= _HEAD_PX else -1
        rows = self._fitting()
        return rows[index].row if 0 <= index < len(rows) else ""

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch on a line takes its row in hand."""
        row = self.row_at(event.position())
        if row:
            self.picked.emit(row)

    def changeEvent(self, event: QEvent) -> None:
        """Take the colours of another theme."""
        super().changeEvent(event)
        self.update()

    def _fitting(self) -> tuple[LimitRow, ...]:
        """The rows that there is room for; the others are told in a last line."""
        rows, room = self._content.rows, int((self.height() - _HEAD_PX) // _LEAST_ROW_PX)
        return rows if len(rows) <= room else rows[: max(room - 1, 1)]

    def _tall(self) -> float:
        count = len(self._fitting()) + (len(self._fitting()) < len(self._content.rows))
        return min(float(ROW_PX), max((self.height() - _HEAD_PX) / max(count, 1), float(_LEAST_ROW_PX)))

    def _say(self) -> None:
        self.setAccessibleName(self._content.title)
        said = [f"{row.words}: {row.shown}" for row in self._content.rows] + pins.told(self._content.pins)
        self.setAccessibleDescription("; ".join(said) or self._content.empty_words)

    # Drawing

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Headline and lines."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("sheet"))
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("second", bold=True))
        head = QRectF(10, 4, self.width() - 20, 22)
        painter.drawText(head, Qt.AlignmentFlag.AlignVCenter, self._content.title)
        if not self._content.rows:
            painter.setFont(theme.font("finding"))
            painter.drawText(head.translated(0, 26), Qt.AlignmentFlag.AlignVCenter, self._content.empty_words)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        fitting, tall = self._fitting(), self._tall()
        for index, row in enumerate(fitting):
            self._paint_row(painter, row, _HEAD_PX + index * tall)
        more = len(self._content.rows) - len(fitting)
        if more:
            painter.setPen(theme.color("ink"))
            painter.setFont(theme.font("second"))
            last = QRectF(14, _HEAD_PX + len(fitting) * tall, self.width() - 28, 24)
            words = text("view.limits.more", count=more)
            painter.drawText(last, Qt.AlignmentFlag.AlignVCenter, words)

    def _paint_row(self, painter: QPainter, row: LimitRow, top: float) -> None:
        left, wide = 14.0, self.width() - 28.0
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("second"))
        shown_wide = painter.fontMetrics().horizontalAdvance(row.shown) + 8
        words = painter.fontMetrics().elidedText(
            row.words, Qt.TextElideMode.ElideRight, int(wide - shown_wide - 8)
        )
        painter.drawText(QRectF(left, top, wide, 20), Qt.AlignmentFlag.AlignVCenter, words)
        painter.setFont(theme.font("second", bold=True))
        side = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(QRectF(left, top, wide, 20), side, row.shown)
        middle = top + 30.0
        painter.setPen(layers.pen_of("border", 1.2))
        painter.drawLine(QPointF(left, middle), QPointF(left + wide, middle))
        self._paint_limits(painter, row, left, wide, middle)
        for spot in sorted(row.spots, key=lambda one: one.in_hand):
            self._paint_spot(painter, spot, QPointF(left + wide * row.share(spot.value), middle))
        pin = next((one for one in self._content.pins if one.row == row.row), None)
        hand = next((spot for spot in row.spots if spot.in_hand), None)
        if pin is not None and hand is not None:
            place = QPointF(left + wide * row.share(hand.value), middle)
            pins.paint(painter, place, pin, QRectF(left, top, wide, middle + 10 - top))

    def _paint_limits(
        self, painter: QPainter, row: LimitRow, left: float, wide: float, middle: float
    ) -> None:
        for limit, words, foot in ((row.low, row.low_text, 6.0), (row.high, row.high_text, -6.0)):
            if limit is None:
                continue
            x = left + wide * row.share(limit)
            painter.setPen(layers.pen_of("ink", 2.4))
            for y, other in ((middle - 10, middle + 10), (middle + 10, middle + 10)):
                painter.drawLine(QPointF(x, y), QPointF(x, other))
            for y in (middle - 10, middle + 10):
                painter.drawLine(QPointF(x, y), QPointF(x + foot, y))
            painter.setFont(theme.font("label"))
            room = painter.fontMetrics().horizontalAdvance(words) + 6
            box = QRectF(x - room - 5 if foot > 0 else x + 5, middle - 9, room, 18)
            painter.fillRect(box, theme.color("sheet"))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)

    def _paint_spot(self, painter: QPainter, spot: Spot, place: QPointF) -> None:
        outline = theme.current().phase_color(spot.phase_index)
        symbol = layers.SYMBOLS[spot.phase_index % 3]
        filled = outline if spot.in_hand else theme.color("sheet")
        size = 13.0 if spot.in_hand else 10.0
        markers.draw(painter, [place], symbol, size, QPen(outline, 2.0), filled)
