"""A sheet of graph paper drawn with Qt's painter: 1-2-5 ticks, rules, figures, and no menus.

Positions are decimal logarithms where the axis has equal decades, and the values themselves where it has
equal steps; `logscale` makes them, and nothing else turns values into places.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QLineF, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app.ui import theme
from app.ui.plots import logscale
from app.ui.plots.axes import Axis
from app.ui.plots.logscale import Floats, Span

_ABOVE_PX, _RIGHT_PX = 6, 8


class Paper:
    """One plot area; ranges are set by the program alone."""

    def __init__(
        self, axis_x: Axis, axis_y: Axis, *, role: str = "axis", left_px: int = 40, below_px: int = 24
    ) -> None:
        self.axis_x, self.axis_y = axis_x, axis_y
        self._role = role
        self.left_px, self.below_px = left_px, below_px
        self.box = QRect()
        self.x, self.y = Span(-3.0, 0.0), Span(0.0, 3.0)
        self.names: Sequence[str] = ()

    def place(self, box: QRect) -> None:
        """Take this place on the widget, axes included."""
        self.box = box

    @property
    def area(self) -> QRectF:
        """The paper itself, without its axes, in pixels of the widget."""
        box = QRectF(self.box)
        return box.adjusted(self.left_px, _ABOVE_PX, -_RIGHT_PX, -self.below_px)

    def area_px(self) -> tuple[float, float]:
        """Width and height of the paper itself in pixels."""
        return max(self.area.width(), 40.0), max(self.area.height(), 40.0)

    def set_ranges(self, x: Span, y: Span) -> None:
        """Show these ranges."""
        self.x, self.y = x, y

    # From values to pixels

    def at(self, x_value: float, y_value: float) -> QPointF:
        """The place of a pair of values."""
        return QPointF(
            self.pixel_x(self.axis_x.position(x_value)), self.pixel_y(self.axis_y.position(y_value))
        )

    def pixels(self, x_values: Sequence[float], y_values: Sequence[float]) -> tuple[Floats, Floats]:
        """Pixels from the left and from the top for many pairs of values."""
        area = self.area
        x = self.axis_x.positions(x_values) - self.x.low
        y = self.axis_y.positions(y_values) - self.y.low
        return (
            area.left() + x * (area.width() / self.x.decades),
            area.bottom() - y * (area.height() / self.y.decades),
        )

    def points(self, x_values: Sequence[float], y_values: Sequence[float]) -> list[QPointF]:
        """The places of many pairs of values."""
        if not len(x_values):
            return []
        x, y = self.pixels(x_values, y_values)
        return list(map(QPointF, x.tolist(), y.tolist()))

    def pixel_x(self, position: float) -> float:
        """Pixels from the left for a position."""
        area = self.area
        return area.left() + (position - self.x.low) / self.x.decades * area.width()

    def pixel_y(self, position: float) -> float:
        """Pixels from the top for a position."""
        area = self.area
        return area.bottom() - (position - self.y.low) / self.y.decades * area.height()

    def holds(self, x_value: float, y_value: float) -> bool:
        """Whether a pair of values lies on the paper."""
        return self.area.contains(self.at(x_value, y_value))

    # Drawing

    def paint(self, painter: QPainter) -> None:
        """Ground, rules, figures and frame."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.fillRect(self.box, theme.color("sheet"))
        wide, tall = self.area_px()
        strong_x, fine_x = self._ticks(self.axis_x, self.x, int(wide / 44))
        strong_y, fine_y = self._ticks(self.axis_y, self.y, int(tall / 26))
        if self.names:
            strong_y, fine_y = [], []
        for at_x, at_y, role in ((fine_x, fine_y, "grid_fine"), (strong_x, strong_y, "grid_strong")):
            painter.setPen(QPen(theme.color(role), 1))
            painter.drawLines(self._rules(at_x, at_y))
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font(self._role))
        self._figures_x(painter, strong_x)
        self._figures_y(painter, strong_y)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(theme.color("ink"), 1.5))
        painter.drawRect(self.area)

    def _ticks(self, axis: Axis, span: Span, room: int) -> tuple[list[float], list[float]]:
        return logscale.ticks(span, room=room) if axis.is_log else logscale.even_ticks(span, room=room)

    def _rules(self, at_x: list[float], at_y: list[float]) -> list[QLineF]:
        area = self.area
        upright = [self.pixel_x(self.axis_x.position(value)) for value in at_x]
        level = [self.pixel_y(self.axis_y.position(value)) for value in at_y]
        return [
            *(QLineF(x, area.top(), x, area.bottom()) for x in upright),
            *(QLineF(area.left(), y, area.right(), y) for y in level),
        ]

    def _figures_x(self, painter: QPainter, values: list[float]) -> None:
        """The figures below; the unit stands at the far end, in place of a figure."""
        area = self.area
        bold = theme.font(self._role, bold=True)
        words = self.axis_x.words
        unit = QRectF(area.right() - 260, area.bottom() + 1, 264, self.below_px)
        quiet = area.right() - 24
        if self._role == "axis":
            font = painter.font()
            painter.setFont(bold)
            quiet = area.right() - painter.fontMetrics().horizontalAdvance(words) - 18
            painter.drawText(unit, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, words)
            painter.setFont(font)
        for value in values:
            x = self.pixel_x(self.axis_x.position(value))
            if x <= quiet:
                box = QRectF(x - 40, area.bottom() + 1, 80, self.below_px)
                painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self.axis_x.figure(value))

    def _figures_y(self, painter: QPainter, values: list[float]) -> None:
        area = self.area
        side = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        if self.names:
            self._paint_names(painter)
            return
        top = area.top() + (22 if self._role == "axis" else 4)
        for value in values:
            y = self.pixel_y(self.axis_y.position(value))
            if y >= top:
                box = QRectF(self.box.left(), y - 12, self.left_px - 5, 24)
                painter.drawText(box, side, self.axis_y.figure(value))
        if self._role == "axis":
            painter.setFont(theme.font(self._role, bold=True))
            box = QRectF(self.box.left(), area.top() - 4, self.left_px - 5, 20)
            painter.drawText(box, side, self.axis_y.words)

    def _paint_names(self, painter: QPainter) -> None:
        """Names at the whole positions of the upright axis, the first at the top."""
        side = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        room = self.left_px - 10
        for index, name in enumerate(self.names):
            y = self.pixel_y(-float(index))
            shown = painter.fontMetrics().elidedText(name, Qt.TextElideMode.ElideRight, room)
            painter.drawText(QRectF(self.box.left(), y - 12, self.left_px - 8, 24), side, shown)
