"""The excitation plot: the whole curve on equal decades, and the knee enlarged in its empty corner."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QLabel, QWidget

from app.ui import theme
from app.ui.plots import logscale
from app.ui.plots.canvas import Paper
from app.ui.plots.content import CurveLine, PlotContent
from app.ui.plots.layers import CurveItems, MarkItems
from app.ui.plots.legend import KneeTable, Legend
from app.ui.texts import text

ENLARGEMENT_RATIO = 4.0
CURVES_COUNT = 6
SMALL_WIDTH = 480
_STEP_DECADES = 0.025


class _Drawing:
    """A paper with items for every curve and mark."""

    def __init__(self, paper: Paper, *, with_knees: bool) -> None:
        self.paper = paper
        self.curves = [CurveItems(paper) for _ in range(CURVES_COUNT)]
        self.marks = MarkItems(paper, with_knees=with_knees)

    def show(self, content: PlotContent, *, force: bool) -> None:
        slots = list(content.curves[:CURVES_COUNT])
        for index, items in enumerate(self.curves):
            items.show(slots[index] if index < len(slots) else None, force=force)
        self.marks.show(content, self.paper.x.low, force=force)


class Detail(QWidget):
    """The enlarged knee: a framed paper with a headline."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.paper = Paper(role="label", axis_width=36, axis_height=22)
        self.paper.setParent(self)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def place(self, box: QRect) -> None:
        """Take this place, the paper beneath the headline.

        Qt: hidden widgets get their resize event late, so the paper is placed here (6.11).
        """
        self.setGeometry(box)
        self.paper.setGeometry(1, 24, box.width() - 2, box.height() - 26)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground, frame and headline."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("sheet"))
        painter.setPen(theme.color("border"))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("second", bold=True))
        line = QRect(38, 4, self.width() - 46, 20)
        painter.drawText(
            line.adjusted(0, 0, -26, 0),
            Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter,
            _shortened(painter, text("plot.detail"), line.width() - 26),
        )
        painter.setFont(theme.font("key"))
        painter.setPen(theme.color("label"))
        painter.drawText(line, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, "F7")


def _shortened(painter: QPainter, words: str, width: int) -> str:
    return painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, width)


class ExcitationPlot(QWidget):
    """Volts over exciting current on equal decades, with legend, knee table and enlarged knee."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content = PlotContent()
        self._keyed: tuple[float, float] | None = None
        self._enlarged = False
        self.paper = Paper()
        self.paper.setParent(self)
        self.legend = Legend(self)
        self.knees = KneeTable(self)
        self.detail = Detail(self)
        self._main = _Drawing(self.paper, with_knees=False)
        self._near = _Drawing(self.detail.paper, with_knees=True)
        self._units = [QLabel(unit, self) for unit in ("V", "mA")]
        for label in self._units:
            label.setFont(theme.font("axis", bold=True))
            label.setAutoFillBackground(False)
        self.setMinimumSize(300, 200)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self._say()

    @property
    def content(self) -> PlotContent:
        """What is drawn."""
        return self._content

    def show_content(self, content: PlotContent) -> None:
        """Draw another content; items whose curve did not change are left alone."""
        self._content = content
        self._redraw(force=False)

    def show_keyed(self, point: tuple[float, float] | None) -> None:
        """Ring the point (volts, amperes) that is being keyed, or none."""
        good = point is not None and point[0] > 0 and point[1] > 0
        self._keyed = point if good else None
        hand = self._content.in_hand
        phase = hand.phase_index if hand else -1
        self._main.marks.show_keyed(self._keyed, phase)
        self._near.marks.show_keyed(self._keyed if self.detail.isVisibleTo(self) else None, phase)

    def toggle_enlarged(self) -> None:
        """The knee fills the plot, or goes back to its corner."""
        self._enlarged = not self._enlarged
        self._redraw(force=False)

    # Qt

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the parts out anew."""
        super().resizeEvent(event)
        self._redraw(force=False)

    def changeEvent(self, event: QEvent) -> None:
        """Take the colours of another theme."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_near"):
            for paper in (self.paper, self.detail.paper):
                paper.dress()
            self._redraw(force=True)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The sheet under the paper, and the words of an empty plot."""
        QPainter(self).fillRect(self.rect(), theme.color("sheet"))

    # Parts

    def _redraw(self, *, force: bool) -> None:
        self.paper.setGeometry(self.rect().adjusted(0, 2, -4, -4))
        wide, tall = self.paper.area_px()
        table = self.knees.sizeHint() if self._has_readings() else self.knees.minimumSize()
        self.legend.show_content(self._content)
        self.knees.show_content(self._content)
        self._set_ranges(wide, tall, table.width())
        self._place_overlays()
        self._main.marks.names_next = not self.detail.isVisibleTo(self)
        self._main.show(self._content, force=force)
        if self.detail.isVisibleTo(self):
            self._set_detail_ranges()
            self._near.show(self._content, force=force)
        self.show_keyed(self._keyed)
        self._say()

    def _has_readings(self) -> bool:
        return any(len(curve.points) for curve in self._content.curves)

    def _set_ranges(self, wide: float, tall: float, table_width: int) -> None:
        x, y = _extent(self._content)
        right = 24.0 if self._is_small else min(table_width + 12.0, wide / 2)
        self.paper.set_ranges(*logscale.square_decades(x, y, wide, tall, reserved_right_px=right))

    @property
    def _is_small(self) -> bool:
        return self.width() < SMALL_WIDTH and not self._enlarged

    def _place_legend(self, bottom: int) -> None:
        """Put the legend where it hides no curve: upper left, else beyond the curves, else lower right."""
        left = self._legend_left()
        if left is not None:
            self.legend.move(left, 12)
        elif self.detail.isVisibleTo(self):
            self.legend.move(self.paper.axis_width_px + 6, 12)
        elif self._is_small:
            self.legend.hide()
        else:
            size = self.legend.sizeHint()
            self.legend.move(self.width() - size.width() - 18, bottom - size.height() - 2)

    def _legend_left(self) -> int | None:
        """The left edge of a free place at the top of the paper, or None."""
        size, left = self.legend.sizeHint(), self.paper.axis_width_px + 6
        (wide, tall), x, y = self.paper.area_px(), self.paper.x, self.paper.y
        right = x.low + (size.width() + 14) / wide * x.decades
        below = y.high - (size.height() + 14) / tall * y.decades
        lines = [curve.line for curve in self._content.curves if len(curve.line)]
        across = [logscale.positions(line.current_a) for line in lines]
        up = [logscale.positions(line.voltage_v) for line in lines]
        if not any(((a < right) & (u > below)).any() for a, u in zip(across, up, strict=True)):
            return left
        beyond = left + int((max(a.max() for a in across) - x.low) / x.decades * wide) + 24
        room = self.width() - 12 - self.knees.sizeHint().width() - 8
        return beyond if beyond + size.width() <= room else None

    def _place_overlays(self) -> None:
        left, right = self.paper.axis_width_px, self.width() - 12
        size = self.knees.sizeHint()
        # On a small plot the table lies low, where no curve is, and the curves take the whole width.
        low = self.height() - self.paper.axis_height_px - 9 - size.height()
        self.knees.setGeometry(
            right - size.width() - 1, low if self._is_small else 9, size.width(), size.height()
        )
        self.knees.setVisible(self._has_readings())
        bottom = self.height() - self.paper.axis_height_px - 9
        wide = min(max(304, int(0.42 * self.width())), int(0.5 * self.width()))
        tall = min(max(204, int(0.46 * self.height())), bottom - size.height() - 24)
        box = QRect(0, 0, wide, tall)
        box.moveBottomRight(self.rect().bottomRight())
        box.translate(-17, -(self.height() - bottom))
        if self._enlarged:
            box = QRect(left + 1, 8, right - left - 2, bottom - 8)
        self.detail.place(box)
        self.detail.setVisible(self._has_readings() and box.height() > 120 and not self._is_small)
        self.legend.setVisible(not self._enlarged)
        self.legend.resize(self.legend.sizeHint())
        self._place_legend(bottom)
        self.knees.raise_()
        volts, amperes = self._units
        volts.setGeometry(left - 26, 6, 20, 20)
        volts.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        amperes.setGeometry(right - 30, self.height() - self.paper.axis_height_px - 1, 32, 20)
        amperes.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)

    def _set_detail_ranges(self) -> None:
        paper = self.detail.paper
        wide, tall = paper.area_px()
        main_wide, _ = self.paper.area_px()
        px_per_decade = main_wide / self.paper.x.decades * ENLARGEMENT_RATIO
        # In steps, so that a knee that moves by a hair does not shake the detail.
        at_x, at_y = (round(at / _STEP_DECADES) * _STEP_DECADES for at in _detail_middle(self._content))
        paper.set_ranges(*logscale.around(at_x, at_y, px_per_decade, wide, tall))

    def _say(self) -> None:
        self.setAccessibleName(text("plot.name"))
        self.setAccessibleDescription(
            "; ".join(_said(curve) for curve in self._content.curves) or text("plot.empty")
        )


def _said(curve: CurveLine) -> str:
    knees = ", ".join(f"{mark.name} {mark.voltage_v:.4g} V" for mark in curve.knees)
    return f"{curve.words}: {len(curve.points)} points" + (f", {knees}" if knees else "")


def _extent(content: PlotContent) -> tuple[logscale.Span, logscale.Span]:
    volts = [v for curve in content.curves for pairs in (curve.points, curve.struck) for v in pairs.voltage_v]
    amperes = [
        i for curve in content.curves for pairs in (curve.points, curve.struck) for i in pairs.current_a
    ]
    if content.plate_limit is not None:
        amperes.append(content.plate_limit[0])
        volts.append(content.plate_limit[1])
    if content.next_voltage_v is not None:
        volts.append(content.next_voltage_v)
    volts, amperes = [v for v in volts if v > 0], [i for i in amperes if i > 0]
    if not volts or not amperes:
        return logscale.Span(-3.0, 0.0), logscale.Span(1.0, 3.0)
    return (
        logscale.Span(logscale.position(min(amperes) * 0.6), logscale.position(max(amperes) * 1.1)),
        logscale.Span(logscale.position(min(volts) * 0.65), logscale.position(max(volts) * 1.25)),
    )


def _detail_middle(content: PlotContent) -> tuple[float, float]:
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
