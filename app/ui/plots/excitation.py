"""The excitation plot: the whole curve on equal decades, and the knee enlarged in its empty corner.

What stays while one types is drawn once into a picture; the curve in hand is drawn over it, and only the
ring around the point being keyed is drawn at each key.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPixmap, QRegion, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.ui import theme
from app.ui.plots import frame, layers, logscale, pins
from app.ui.plots.content import CurveLine, PlotContent
from app.ui.plots.legend import LEGEND_DETAILS, KneeTable, Legend, LegendDetail
from app.ui.plots.paper import Paper
from app.ui.plots.pins import Pin
from app.ui.texts import text
from app.words import figures

ENLARGEMENT_RATIO = 4.0
SMALL_WIDTH = 480
PICK_PX = 16.0
_STEP_DECADES = 0.025
_HEADLINE_PX = 24


class ExcitationPlot(QWidget):
    """Volts over exciting current on equal decades, with legend, knee table and enlarged knee.

    `picked` carries the row of a point of the curve in hand that was touched.
    """

    picked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content = PlotContent()
        self._keyed: tuple[float, float] | None = None
        self._enlarged = False
        self._front: QPixmap | None = None
        self._placed_for: object = None
        self._legend_detail: LegendDetail = "all"
        self._backs: dict[str, tuple[object, QPixmap]] = {}
        self.paper = Paper(self._content.axis_x, self._content.axis_y)
        self.near = Paper(self._content.axis_x, self._content.axis_y, role="label", left_px=36, below_px=22)
        self.legend = Legend(self._content)
        self.knees = KneeTable(self._content)
        self.legend_box, self.table_box, self.detail_box = QRect(), QRect(), QRect()
        self.setMinimumSize(300, 150)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self._say()

    # Content

    @property
    def content(self) -> PlotContent:
        """What is drawn."""
        return self._content

    @property
    def keyed(self) -> tuple[float, float] | None:
        """The point (volts, amperes) that is ringed."""
        return self._keyed

    def show_content(self, content: PlotContent) -> None:
        """Draw another content; what stays of it is not drawn again."""
        if content == self._content:
            return
        self._content = content
        self._lay_out()

    def show_keyed(self, point: tuple[float, float] | None) -> None:
        """Ring the point (volts, amperes) that is being keyed, or none."""
        good = point is not None and point[0] > 0 and point[1] > 0
        wanted = point if good else None
        if wanted != self._keyed:
            self._keyed = wanted
            self.update()

    def toggle_enlarged(self) -> None:
        """The knee fills the plot, or goes back to its corner."""
        self._enlarged = not self._enlarged
        self._lay_out()

    # Qt

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the parts out anew."""
        super().resizeEvent(event)
        self._lay_out()

    def changeEvent(self, event: QEvent) -> None:
        """Take the colours of another theme."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "detail_box"):
            self._backs.clear()
            self._lay_out()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch on a point of the curve in hand takes its row in hand."""
        row = self.row_at(event.position())
        if row:
            self.picked.emit(row)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The picture, and the ring over it."""
        ratio = self.devicePixelRatioF()
        if self._front is None or self._front.devicePixelRatioF() != ratio:
            self._front = self._drawn()
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._front)
        if self._keyed is not None:
            self._paint_ring(painter, self._keyed)

    # Picking

    def row_at(self, place: QPointF) -> str:
        """The row of the point of the curve in hand that lies nearest to a place, where one is near."""
        hand = self._content.in_hand
        if hand is None or not hand.points.rows:
            return ""
        paper = self.near if self.detail_box.contains(place.toPoint()) else self.paper
        places = paper.points(hand.points.current_a, hand.points.voltage_v)
        far = [(entry - place).manhattanLength() for entry in places]
        nearest = min(range(len(far)), key=far.__getitem__)
        return hand.points.rows[nearest] if far[nearest] <= PICK_PX else ""

    # Layout

    @property
    def _is_small(self) -> bool:
        return self.width() < SMALL_WIDTH and not self._enlarged

    @property
    def has_detail(self) -> bool:
        """Whether the knee is shown enlarged."""
        return not self.detail_box.isEmpty()

    def _lay_out(self) -> None:
        content = self._content
        for paper in (self.paper, self.near):
            paper.axis_x, paper.axis_y = content.axis_x, content.axis_y
        self.knees = KneeTable(content)
        self.paper.place(self.rect().adjusted(0, 2, -4, -4))
        has_table = content.has_knees and any(len(curve.points) for curve in content.curves)
        table = self.knees.size() if has_table else QSize(0, 0)
        wide, tall = self.paper.area_px()
        right = 24.0 if self._is_small else min(table.width() + 12.0, wide / 2)
        self.paper.set_ranges(
            *logscale.square_decades(*frame.extent(content), wide, tall, reserved_right_px=right)
        )
        self.table_box = frame.table_box(self.rect(), self.paper, table, content, low=self._is_small)
        self.detail_box = QRect()
        if has_table and not self._is_small:
            self.detail_box = frame.detail_box(self.rect(), self.paper, self.table_box, full=self._enlarged)
        if self.has_detail:
            self._set_near()
        taken = [self.table_box, self.detail_box]
        self._place_legend(taken)
        self._front = None
        self._say()
        self.update()

    def _place_legend(self, taken: list[QRect]) -> None:
        """Find a place for the legend; the last one stays while nothing else moved and the hand is away."""
        content, paper = self._content, self.paper
        hand = frame.occupied(paper, PlotContent(curves=content.curves[-1:]))
        looks = tuple(Legend(content, detail=detail).look for detail in LEGEND_DETAILS)
        wanted = (
            paper.box,
            paper.x,
            paper.y,
            content.settled,
            content.plate_limit,
            content.duty,
            looks,
            taken,
        )
        if wanted == self._placed_for and frame.is_free(self.legend_box, hand):
            self.legend = Legend(content, detail=self._legend_detail)
            return
        self._placed_for = wanted
        self.legend_box = QRect()
        if self._enlarged:
            return
        drawn = frame.occupied(paper, content)
        for self._legend_detail in LEGEND_DETAILS:
            self.legend = Legend(content, detail=self._legend_detail)
            self.legend_box = frame.legend_box(paper, self.legend, drawn, taken)
            if not self.legend_box.isEmpty():
                return

    def _set_near(self) -> None:
        self.near.place(self.detail_box.adjusted(1, _HEADLINE_PX, -1, -2))
        wide, tall = self.near.area_px()
        px_per_decade = self.paper.area_px()[0] / self.paper.x.decades * ENLARGEMENT_RATIO
        # In steps, so that a knee that moves by a hair does not shake the detail.
        at_x, at_y = (
            round(place / _STEP_DECADES) * _STEP_DECADES for place in frame.detail_middle(self._content)
        )
        self.near.set_ranges(*logscale.around(at_x, at_y, px_per_decade, wide, tall))

    # Drawing

    def _drawn(self) -> QPixmap:
        """The whole picture but for the ring: kept parts, then what changes with every reading."""
        made = self._back("main", self.paper, self.rect()).copy()
        hand = self._content.in_hand
        painter = QPainter(made)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setClipRect(self.paper.area)
        layers.draw_next(painter, self.paper, self._content.next_voltage_v, named=not self.has_detail)
        if hand is not None:
            layers.draw_curve(painter, self.paper, hand)
        painter.setClipping(False)
        if self.has_detail:
            painter.drawPixmap(self.detail_box.topLeft(), self._back("near", self.near, self.detail_box))
            self._draw_near(painter, hand)
        if not self.legend_box.isEmpty():
            painter.drawPixmap(self.legend_box.topLeft(), self._legend())
        if not self.table_box.isEmpty():
            self.knees.paint(painter, self.table_box)
        if hand is not None and self._content.pins:
            painter.setClipRegion(self._open_region())
            pins.paint_all(painter, self._pinned(self.paper, hand), self.paper.area)
        return made

    def _pinned(self, paper: Paper, hand: CurveLine) -> list[tuple[QPointF, Pin]]:
        """The comments with the places of their points, whether kept, struck or in doubt."""
        by_row = {pin.row: pin for pin in self._content.pins}
        return [
            (place, by_row[row])
            for pairs in (hand.points, hand.struck, hand.doubtful)
            for place, row in zip(paper.points(pairs.current_a, pairs.voltage_v), pairs.rows, strict=False)
            if row in by_row
        ]

    def _open_region(self) -> QRegion:
        """The paper without what lies over it."""
        covered = QRegion(self.detail_box) + QRegion(self.table_box) + QRegion(self.legend_box)
        return QRegion(self.paper.area.toRect()) - covered

    def _draw_near(self, painter: QPainter, hand: CurveLine | None) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setClipRect(self.near.area)
        layers.draw_next(painter, self.near, self._content.next_voltage_v, named=True)
        if hand is not None:
            layers.draw_curve(painter, self.near, hand)
        layers.draw_knees(painter, self.near, self._content.curves)
        if hand is not None:
            pins.paint_all(painter, self._pinned(self.near, hand), self.near.area)
        painter.setClipping(False)

    def _legend(self) -> QPixmap:
        """The legend, drawn again only where its words or its curves changed."""
        ratio, size = self.devicePixelRatioF(), self.legend_box.size()
        wanted = (self.legend.look, size, ratio)
        kept = self._backs.get("legend")
        if kept is None or kept[0] != wanted:
            made = QPixmap(size * ratio)
            made.setDevicePixelRatio(ratio)
            painter = QPainter(made)
            self.legend.paint(painter, QRect(QPoint(), size))
            painter.end()
            kept = self._backs["legend"] = (wanted, made)
        return kept[1]

    def _back(self, name: str, paper: Paper, box: QRect) -> QPixmap:
        """Paper and settled curves, drawn again only where any of it changed."""
        content, ratio = self._content, self.devicePixelRatioF()
        wanted = (
            box, paper.x, paper.y, paper.axis_x, content.settled, content.plate_limit, content.duty,
            content.envelope, ratio,
        )  # fmt: skip
        kept = self._backs.get(name)
        if kept is not None and kept[0] == wanted:
            return kept[1]
        made = QPixmap(box.size() * ratio)
        made.setDevicePixelRatio(ratio)
        made.fill(theme.color("sheet"))
        painter = QPainter(made)
        painter.translate(-box.topLeft())
        if name == "near":
            frame.paint_headline(painter, box)
        paper.paint(painter)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setClipRect(paper.area)
        layers.draw_settled(painter, paper, content, named=name == "main")
        painter.end()
        self._backs[name] = (wanted, made)
        return made

    def _paint_ring(self, painter: QPainter, point: tuple[float, float]) -> None:
        hand = self._content.in_hand
        phase = hand.phase_index if hand else -1
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setClipRegion(self._open_region())
        layers.draw_ring(painter, self.paper, point, phase)
        if self.has_detail:
            painter.setClipRect(self.near.area)
            layers.draw_ring(painter, self.near, point, phase)

    def _say(self) -> None:
        self.setAccessibleName(text("plot.name"))
        said = [_said(curve) for curve in self._content.curves] or [text("plot.empty")]
        self.setAccessibleDescription("; ".join([*said, *pins.told(self._content.pins)]))


def _said(curve: CurveLine) -> str:
    knees = [
        text(f"plot.said_knee.{mark.name}", volts=figures.with_unit(mark.voltage_v, "V", significant=4))
        for mark in curve.knees
    ]
    points = text("plot.said_points", curve=curve.words, count=len(curve.points))
    return ", ".join([points, *knees])
