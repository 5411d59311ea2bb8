"""The hook-up beside the readings: the drawing, and under it the list of leads to tick."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.desk.landing import Hookup
from app.ui.hookup.leads import LeadsModel
from app.ui.hookup.painting import HookupDrawing
from app.ui.shell.lettering import Line
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text
from ctcore.hookup import Lead

_OF_THE_PAGE: Final = Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.ControlModifier
_WIDE: Final = 620
_LIST_LEAST_PX: Final = 176


@dataclass(frozen=True, slots=True)
class HookupContent:
    """What the panel shows: the hook-up, and who ticked each lead in short."""

    hookup: Hookup
    ticked: tuple[str, ...]
    is_locked: bool = False


class LeadsTable(RuledTable):
    """Space and Enter tick a lead, and a second touch; Escape goes back to the readings."""

    left = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ticking and leaving; the rest moves."""
        if event.key() == Qt.Key.Key_Space:
            self.choose_current()
        elif event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif event.modifiers() & _OF_THE_PAGE:
            event.ignore()
        else:
            super().keyPressEvent(event)

    def currentChanged(
        self, current: QModelIndex | QPersistentModelIndex, previous: QModelIndex | QPersistentModelIndex
    ) -> None:
        """A row is read out whole."""
        super().currentChanged(current, previous)
        self.setAccessibleDescription(str(current.data(Qt.ItemDataRole.AccessibleTextRole) or ""))


class HookupPanel(QWidget):
    """Drawing and list; `ticked` carries the lead that was pressed, `left` asks for the readings."""

    picked = Signal(str)
    ticked = Signal(object)
    left = Signal()

    def __init__(self, content: HookupContent, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content = content
        self.heading = Line(role="second", bold=True)
        self.drawing = HookupDrawing()
        self.leads = LeadsModel(self)
        self.table = LeadsTable()
        self.table.setModel(self.leads)
        self.table.setMinimumHeight(_LIST_LEAST_PX)
        self.table.setAccessibleName(text("hookup.list"))
        self.table.chosen.connect(self._tick)
        self.table.left.connect(self.left)
        column = QVBoxLayout(self)
        column.setContentsMargins(10, 6, 4, 4)
        column.setSpacing(2)
        column.addWidget(self.heading)
        column.addWidget(self.drawing, 60)
        column.addWidget(self.table, 40)
        self.show_content(content)

    @property
    def content(self) -> HookupContent:
        """What is shown."""
        return self._content

    def show_content(self, content: HookupContent) -> None:
        """Show another hook-up; the lead in hand stays in hand while the list is the same."""
        before = self._content.hookup
        self._content = content
        shown = content.hookup
        self.drawing.show_drawing(shown.drawing)
        self.drawing.setVisible(shown.drawing is not None)
        self.leads.put(shown.leads, content.ticked)
        if (shown.core_id, shown.procedure_id) != (before.core_id, before.procedure_id):
            self.table.setCurrentIndex(QModelIndex())
        self.heading.set_text(self._heading(shown))
        self._fit()

    def focus_list(self) -> None:
        """The first lead that is not ticked takes the focus."""
        if not self.table.currentIndex().isValid() and self.leads.lines:
            self.table.setCurrentIndex(self.leads.index(self.leads.first_open(), 0))
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_keyed(self, point: tuple[float, float] | None) -> None:
        """What is being keyed does not change how the test is wired."""

    def toggle_enlarged(self) -> None:
        """There is no knee here."""

    def _heading(self, shown: Hookup) -> str:
        if not shown.leads:
            return text("hookup.none")
        return text("hookup.title", count=shown.landed_count, of=len(shown.leads))

    def _tick(self, row: int) -> None:
        if self._content.is_locked or not 0 <= row < len(self.leads.lines):
            return
        lead: Lead = self.leads.lines[row].lead
        self.ticked.emit(lead)
        self._go_on(row)

    def _go_on(self, row: int) -> None:
        """After a tick the next lead is in hand."""
        if self.leads.lines[row].landing is None and row + 1 < len(self.leads.lines):
            self.table.setCurrentIndex(self.leads.index(row + 1, 0))

    def _fit(self) -> None:
        """Columns by the room there is; the note folds away where it is narrow."""
        room = max(self.width() - 34, 240)
        narrow = room < _WIDE
        self.table.setColumnHidden(3, narrow)
        shares = (0.24, 0.42, 0.34, 0.0) if narrow else (0.17, 0.29, 0.22, 0.32)
        for column, share in enumerate(shares):
            self.table.setColumnWidth(column, int(room * share))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width, other columns."""
        super().resizeEvent(event)
        self._fit()
