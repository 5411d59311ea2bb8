"""What checking everything in the archive found: one sentence, and a line for each fault."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QModelIndex
from PySide6.QtWidgets import QHeaderView

from app.report.plain_tables import PlainTable
from app.ui.dialogs.frame import DialogFrame
from app.ui.models.plain import PlainModel
from app.ui.shell.lettering import Words
from app.ui.shell.paper import print_tables
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk.archive.looking_through import LookedThrough
    from app.ui.window import MainWindow

_ROW: Final = 44
_MOST_ROWS: Final = 8
_AROUND: Final = 340


class LookedThroughDialog(DialogFrame):
    """The finding in words; faults are listed, and all of it goes on paper for the file."""

    def __init__(self, window: MainWindow, found: LookedThrough) -> None:
        told = retold(found.text)
        super().__init__(
            text("looked_through.heading"), main=text("looked_through.close"), intro=told, width=860,
            parent=window,
        )  # fmt: skip
        self.told_text = told
        self.cancel.hide()
        self.confirmed.connect(self.accept)
        kept = PlainTable(
            heading=text("looked_through.faults"),
            heads=(text("looked_through.fault"),),
            rows=tuple((retold(sentence),) for sentence in found.faults),
            note_text="" if found.faults else self.told_text,
        )
        self.model, self.table = PlainModel(kept, self), RuledTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(text("looked_through.faults"))
        self.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        # On a low screen fewer lines, so that the whole of the one in hand has room beneath.
        most = max(1, min(_MOST_ROWS, (window.height() - _AROUND) // _ROW))
        self.table.setFixedHeight(_ROW * (min(len(found.faults), most) + 1))
        self.table.setVisible(bool(found.faults))
        if found.faults:
            self.whole = Words(role="value")
            self.table.selectionModel().currentRowChanged.connect(self._tell_whole)
            self.body.addWidget(self.table)
            self.body.addWidget(self.whole)
            self.table.setCurrentIndex(self.model.index(0, 0))
        self.paper = self.add_button(text("looked_through.print"), "Alt+P")
        self.paper.answer_key()
        self.paper.clicked.connect(
            partial(
                print_tables, window, (kept,), title=self.windowTitle(), said_text=self.told_text, parent=self
            )
        )

    def _tell_whole(self, now: QModelIndex, _before: QModelIndex) -> None:
        """A fault is longer than its line."""
        self.whole.setText(str(now.data() or ""))
        self.fit()
