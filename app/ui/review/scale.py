"""Values of the phases against their limit on one line: markers of the plot, teeth on the forbidden side."""

from __future__ import annotations

from math import floor, log10
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import theme
from app.ui.texts import text
from app.words import figures

if TYPE_CHECKING:
    from app.desk.side_by_side import CompareRow

_TALL: Final = 96
_MOST_TICKS: Final = 6
_NAME_WIDTH: Final = 30


class ValueScale(QWidget):
    """One line; nothing where there is nothing to draw."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._row: CompareRow | None = None
        self._phases: tuple[str, ...] = ()
        self._here = 0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def put(self, row: CompareRow | None, phases: tuple[str, ...], here: int) -> None:
        """Draw another quantity."""
        self._row, self._phases, self._here = row, phases, here
        self.setVisible(row is not None)
        if row is not None:
            said = ", ".join(f"{name} {value}" for name, value in zip(phases, row.values, strict=True))
            self.setAccessibleName(f"{row.label}: {said}; {row.limit_text}")
        self.update()

    def sizeHint(self) -> QSize:
        """A strip."""
        return QSize(300, _TALL)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Axis, limits, markers."""
        if self._row is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        low, high = _span(self._row)
        axis = QRectF(78, 0, self.width() - 110, self.height() - 26)

        def x_of(value: float) -> float:
            return axis.left() + (value - low) / (high - low) * axis.width()

        self._draw_axis(painter, axis, low, high)
        for limit, teeth in ((self._row.limit_low, -1), (self._row.limit_high, 1)):
            if limit is not None:
                self._draw_limit(painter, axis, x_of(limit), teeth)
        shown = [(x_of(value), number) for number, value in enumerate(self._row.numbers) if value is not None]
        taken = -1e9
        for x, number in sorted(shown):
            # A name that would cover the one before stands above it.
            above = x - taken < _NAME_WIDTH
            taken = x if not above else taken
            self._draw_value(painter, QPointF(x, axis.bottom() - 12), number, above=above)

    def _draw_axis(self, painter: QPainter, axis: QRectF, low: float, high: float) -> None:
        assert self._row is not None
        ink = theme.color("ink")
        painter.setPen(QPen(ink, 1.5))
        painter.drawLine(axis.bottomLeft(), axis.bottomRight())
        painter.setFont(theme.font("axis"))
        painter.drawText(
            QRectF(12, axis.bottom() - 4, 66, 22),
            Qt.AlignmentFlag.AlignVCenter,
            figures.symbol(self._row.unit),
        )
        step = _step(high - low)
        tick = floor(low / step + 0.999) * step
        while tick <= high + step * 1e-6:
            x = axis.left() + (tick - low) / (high - low) * axis.width()
            painter.drawLine(QPointF(x, axis.bottom()), QPointF(x, axis.bottom() + 4))
            words = figures.text(round(tick / step) * step, self._row.unit, significant=3)
            box = QRectF(x - 40, axis.bottom() + 4, 80, 20)
            painter.drawText(box, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop, words)
            tick += step

    def _draw_limit(self, painter: QPainter, axis: QRectF, x: float, teeth: int) -> None:
        edge = axis.right() if teeth > 0 else axis.left()
        painter.fillRect(QRectF(min(x, edge), 22, abs(edge - x), axis.bottom() - 23), theme.color("band"))
        painter.setPen(QPen(theme.color("ink"), 3))
        painter.drawLine(QPointF(x, 18), QPointF(x, axis.bottom()))
        painter.setPen(QPen(theme.color("ink"), 1.2))
        y = 22.0
        while y < axis.bottom():
            painter.drawLine(QPointF(x, y + 4), QPointF(x + teeth * 6, y))
            y += 7
        words = text("review.limit_drawn")
        painter.setFont(theme.font("axis", bold=True))
        wide = QFontMetricsF(theme.font("axis", bold=True)).horizontalAdvance(words)
        # The words stand where the line has room: on the allowed side, else on the other.
        left = x - wide - 6 if teeth > 0 else x + 6
        if left < axis.left() or left + wide > axis.right():
            left = x + 6 if teeth > 0 else x - wide - 6
        painter.drawText(QRectF(left, 0, wide + 2, 20), Qt.AlignmentFlag.AlignVCenter, words)

    def _draw_value(self, painter: QPainter, at: QPointF, number: int, *, above: bool) -> None:
        color = theme.current().phase_color(number)
        painter.setPen(QPen(color, 2.2))
        painter.setBrush(color if number == self._here else theme.color("sheet"))
        _marker(painter, at, number)
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("axis", bold=True))
        wide = QFontMetricsF(theme.font("axis", bold=True)).horizontalAdvance(self._phases[number])
        box = QRectF(at.x() - 6, at.y() - (44 if above else 27), wide + 2, 17)
        painter.fillRect(box, theme.color("sheet"))
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, self._phases[number])


def _marker(painter: QPainter, at: QPointF, number: int) -> None:
    if number == 0:
        painter.drawEllipse(at, 6.5, 6.5)
    elif number == 1:
        painter.drawRect(QRectF(at.x() - 6, at.y() - 6, 12, 12))
    else:
        painter.drawPolygon(QPolygonF([at + QPointF(0, -7), at + QPointF(7, 5.5), at + QPointF(-7, 5.5)]))


def _span(row: CompareRow) -> tuple[float, float]:
    """From a little under the least to a little over the greatest of values and limits."""
    shown = [value for value in (*row.numbers, row.limit_low, row.limit_high) if value is not None]
    low, high = min(shown), max(shown)
    room = (high - low) * 0.2 or abs(high) * 0.1 or 1.0
    return low - room, high + room


def _step(wide: float) -> float:
    """The 1-2-5 step that gives at most six ticks."""
    rough = wide / _MOST_TICKS
    power = 10.0 ** floor(log10(rough))
    return next(power * factor for factor in (1, 2, 5, 10) if power * factor >= rough)
