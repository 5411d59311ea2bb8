"""Everything that is missing before the job can be handed in; each line leads to its place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHeaderView

from app.ui.dialogs.frame import DialogFrame
from app.ui.models.reasons import ReasonsModel
from app.ui.shell.lettering import Words
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.queue import Reason
    from app.ui.window import MainWindow

_ROW: Final = 44
_MOST_ROWS: Final = 10


def open_missing_dialog(window: MainWindow) -> None:
    """Read what is missing and show all of it."""
    job_id = window.session.job_id or ""
    window.session.fetch(
        lambda desk: desk.missing(job_id), done=lambda found: MissingDialog(window, found).open()
    )


class MissingDialog(DialogFrame):
    """One row per thing that is missing; Enter on it goes there."""

    def __init__(self, window: MainWindow, found: Sequence[Reason]) -> None:
        super().__init__(text("missing.heading"), main=text("missing.main"), width=960, parent=window)
        self._window = window
        self.body.addWidget(Words(text("missing.count", count=len(found)) if found else text("missing.none")))
        self.model, self.table = ReasonsModel(found, self), RuledTable()
        self.table.setModel(self.model)
        head = self.table.horizontalHeader()
        head.hide()
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.table.setColumnWidth(1, 110)
        self.table.setAccessibleName(text("missing.heading"))
        self.table.setFixedHeight(_ROW * min(len(found), _MOST_ROWS) + 2)
        self.table.setVisible(bool(found))
        self.table.chosen.connect(self.go_to)
        self.body.addWidget(self.table)
        self.main.setVisible(bool(found))
        self.confirmed.connect(lambda: self.go_to(self.table.currentIndex().row()))

    def go_to(self, row: int) -> None:
        """The place of a row: a test, a plate, the instruments."""
        reason = self.model.reason(row)
        if reason is None or not (reason.core_id or reason.page_id):
            return
        self.accept()
        if reason.page_id == "plate":
            self._window.page("plate").show_core(reason.core_id)
        if reason.page_id:
            self._window.show_page(reason.page_id)
        else:
            self._window.go_to(reason.core_id, reason.procedure_id)

    def showEvent(self, event: QShowEvent) -> None:
        """The list takes the focus, its first row in hand."""
        super().showEvent(event)
        if self.model.rowCount():
            self.table.setCurrentIndex(self.model.index(0, 0))
            self.table.setFocus()
