"""Find a plate or a core of the job by serial number, position, phase or class."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHeaderView, QWidget

from app.ui.dialogs.frame import DialogFrame
from app.ui.models.found import FoundModel
from app.ui.pages.jobs import SearchField
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import View


class FindDialog(DialogFrame):
    """Typed letters cut the list down; arrows choose, Enter opens."""

    core_chosen = Signal(str)
    ct_chosen = Signal(str)

    def __init__(self, view: View, parent: QWidget) -> None:
        super().__init__(text("find.heading"), main=text("find.main"), width=760, parent=parent)
        self.model = FoundModel(view, self)
        self.search = SearchField()
        self.search.setAccessibleName(text("find.search"))
        self.search.setPlaceholderText(text("find.search"))
        self.search.setFixedHeight(46)
        self.table = RuledTable()
        self.table.setAccessibleName(text("find.heading"))
        self.table.setModel(self.model)
        self.table.horizontalHeader().hide()
        self.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.table.setColumnWidth(1, 140)
        self.table.setMinimumHeight(6 * 44 + 4)
        self.body.addWidget(self.search)
        self.body.addWidget(self.table, 1)
        self.search.textChanged.connect(self._search)
        self.search.moved.connect(self._move)
        self.search.entered.connect(self._open)
        self.table.chosen.connect(lambda _row: self._open())
        self.confirmed.connect(self._open)
        self._take(0)

    def look_for(self, letters: str) -> None:
        """Open with letters that were typed already: they are gone on with, not replaced."""
        self.search.setText(letters)
        self.open()
        # Qt: a dialog that opens chooses the whole text of its first field (6.11).
        self.search.end(False)

    def showEvent(self, event: QShowEvent) -> None:
        """Letters typed at once search."""
        super().showEvent(event)
        self.search.setFocus()
        # Letters that were typed before it stood here are gone on with, not replaced.
        self.search.end(False)

    def _search(self, letters: str) -> None:
        self.model.search(letters)
        self._take(0)
        self.say("" if self.model.rowCount() else text("find.nothing", letters=letters))

    def _move(self, step: int) -> None:
        self._take(self.table.currentIndex().row() + step)

    def _take(self, row: int) -> None:
        last = self.model.rowCount() - 1
        index = self.model.index(min(max(row, 0), last), 0) if last >= 0 else QModelIndex()
        self.table.setCurrentIndex(index)

    def _open(self) -> None:
        found = self.model.place(self.table.currentIndex().row())
        if found is None:
            return
        self.accept()
        if found.core_id:
            self.core_chosen.emit(found.core_id)
        else:
            self.ct_chosen.emit(found.ct_id)
