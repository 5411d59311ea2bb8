"""Where the parts of the page lie at each width: side by side, or one under the other."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.ui import theme
from app.ui.worksheet.caution import CautionBox
from app.ui.worksheet.findings_panel import FindingsPanel
from app.ui.worksheet.hint import HintLine
from app.ui.worksheet.method import MethodBlock
from app.ui.worksheet.rows_table import RowsTable

Mode = Literal["side", "stacked"]
SIDE_WIDTH = 840
ROOMY_WIDTH = 1000
_GAP = 8
_SHARES: Final[dict[Mode, tuple[int, int]]] = {"side": (43, 57), "stacked": (1, 0)}
_TIGHT_SHARES: Final = (52, 48)
_LEAST_TABLE_HEIGHT = 140
_MOST_TABLE_SHARE = 0.58
_LEAST_VIEW_HEIGHT = 200
_LEAST_PLOT_ALONE = 150


class Sheet(QWidget):
    """A white sheet with parts one under another."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(0)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The paper."""
        QPainter(self).fillRect(self.rect(), theme.color("sheet"))


class PlotPlace(Sheet):
    """Where the plot goes once its library is there; several plots may take turns."""

    view_name = "plot"

    def hold(self, plot: QWidget) -> None:
        """Put the plot in."""
        self.column.addWidget(plot)


class Body(QScrollArea):
    """Caution, method, rows and hint in the middle; plot and findings to the right where there is room."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.caution = CautionBox()
        self.method = MethodBlock()
        self.table = RowsTable()
        self.hint = HintLine()
        self.plot_place = PlotPlace()
        self.findings = FindingsPanel()
        self._mode: Mode | None = None
        self._caution_across = False
        self._has_plot = False
        self._part = ""
        self._view_alone = False
        self._view_least_px = _LEAST_VIEW_HEIGHT
        self._rows_sheet = Sheet()
        self._rows_sheet.column.addWidget(self.table, 1)
        self._rows_sheet.column.addWidget(self.hint)
        self._findings_sheet = Sheet()
        self._findings_sheet.column.addWidget(self.findings)
        self._inner = QWidget()
        self._inner.setObjectName("worksheetBody")
        whole = QVBoxLayout(self._inner)
        whole.setContentsMargins(_GAP, _GAP, _GAP, _GAP)
        whole.setSpacing(_GAP)
        columns = QHBoxLayout()
        columns.setSpacing(_GAP)
        whole.addLayout(columns, 1)
        self._whole = whole
        self._middle, self._right = QVBoxLayout(), QVBoxLayout()
        for column in (self._middle, self._right):
            column.setSpacing(_GAP)
        columns.addLayout(self._middle)
        columns.addLayout(self._right)
        self._columns = columns
        self.setWidget(self._inner)
        for part in (self.caution, self.method, self._rows_sheet):
            self._middle.addWidget(part)
        self.setStyleSheet("QScrollArea, #worksheetBody { background: transparent; }")
        self.caution.folded.connect(self.place_caution)
        self._arrange()

    @property
    def mode(self) -> Mode:
        """How the parts lie now."""
        return self._mode or "side"

    def place_caution(self) -> None:
        """An unread caution lies across the whole page; a read one is a band over the fields."""
        full = self.caution.current is not None
        if full == self._caution_across:
            return
        self._caution_across = full
        self._whole.removeWidget(self.caution)
        self._middle.removeWidget(self.caution)
        if full:
            self._whole.insertWidget(0, self.caution)
        else:
            self._middle.insertWidget(0, self.caution)

    def set_has_plot(self, has_plot: bool) -> None:
        """Whether the test on the page has a curve."""
        if has_plot != self._has_plot:
            self._has_plot = has_plot
            self._mode = None
            self._arrange()

    def _fit_plot(self) -> None:
        """As tall as the view asks; alone on a small screen a plot takes what height there is."""
        least = self._view_least_px
        if self._part and least == _LEAST_VIEW_HEIGHT:
            least = min(least, max(_LEAST_PLOT_ALONE, self.viewport().height() - 2 * _GAP))
        self.plot_place.setMinimumHeight(least if self._has_plot else 0)

    @property
    def part(self) -> str:
        """The one part that is shown on a small screen; empty where all of them are."""
        return self._part

    @property
    def has_plot(self) -> bool:
        """Whether a view of the readings is asked for."""
        return self._has_plot

    def show_part(self, part: str) -> None:
        """Show one part alone, or with an empty name all of them."""
        if part != self._part:
            self._part = part
            self._show_parts()
            self._fit_plot()
            self.verticalScrollBar().setValue(0)

    def _show_parts(self) -> None:
        """What stands in the one part, or in all."""
        alone = self._part
        for widget in (self.caution, self.method, self._rows_sheet):
            widget.setVisible(alone in ("", "readings"))
        self.plot_place.setVisible(self._has_plot and alone in ("", "plot"))
        self._findings_sheet.setVisible(alone == "findings" or (not alone and not self._view_alone))

    def fit_view(self, least_px: int, *, is_alone: bool) -> None:
        """Room for the view: the findings stand under it, or give way to one that is read by itself."""
        self._view_least_px = max(least_px, _LEAST_VIEW_HEIGHT)
        self._view_alone = is_alone
        self._show_parts()
        self._fit_plot()

    def bring(self, part: QWidget) -> None:
        """Scroll to a part that was shown just now."""
        self._whole.activate()
        self.ensureWidgetVisible(part, 0, 0)

    def _wanted(self) -> Mode:
        wide = self.viewport().width()
        return "side" if self._has_plot and wide >= SIDE_WIDTH else "stacked"

    def _arrange(self) -> None:
        wanted = self._wanted()
        tight = wanted == "side" and self.viewport().width() < ROOMY_WIDTH
        middle, right = _TIGHT_SHARES if tight else _SHARES[wanted]
        self._columns.setStretch(0, middle)
        self._columns.setStretch(1, right)
        if wanted == self._mode:
            return
        self._mode = wanted
        for column in (self._middle, self._right):
            column.removeWidget(self.plot_place)
            column.removeWidget(self._findings_sheet)
        plot_column = self._middle if wanted == "stacked" else self._right
        findings_column = self._right if wanted == "side" else self._middle
        if self._has_plot:
            plot_column.addWidget(self.plot_place, 68)
        self._show_parts()
        findings_column.addWidget(self._findings_sheet, 32)
        self._middle.setStretchFactor(self._rows_sheet, 60)
        self._set_least()

    def fit_rows(self) -> None:
        """Where parts stand one under another, the table takes the height of its rows and no more.

        Side by side it takes the width of what is keyed, up to a share that leaves the view its own.
        """
        most = int(self.viewport().width() * _MOST_TABLE_SHARE) if self.mode == "side" else 0
        self.table.setMinimumWidth(min(self.table.keyed_px, most))
        wanted = self.table.content_height() + self.hint.sizeHint().height() + 4
        stacked = self.mode == "stacked" and not self._has_plot
        self._rows_sheet.setMaximumHeight(max(wanted, _LEAST_TABLE_HEIGHT) if stacked else 16_777_215)

    def _set_least(self) -> None:
        self.fit_rows()
        self.table.setMinimumHeight(_LEAST_TABLE_HEIGHT)
        self.findings.setMinimumHeight(90)
        self._fit_plot()
        self._inner.setMinimumWidth(420)
        self._middle.setAlignment(self._rows_sheet, Qt.AlignmentFlag(0))

    # Qt

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Qt: a scroll area would eat arrows and page keys on their way to the page (6.11)."""
        event.ignore()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width may want another order."""
        super().resizeEvent(event)
        self._arrange()
        self.fit_rows()
        self._fit_plot()
