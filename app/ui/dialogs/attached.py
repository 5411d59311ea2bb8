"""The files attached to the job: a list to look through, and a way to strike one with a reason."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QHeaderView

from app.ui.dialogs.attach import open_attach_dialog
from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.reason import ReasonDialog
from app.ui.dialogs.viewer import ViewerDialog
from app.ui.models.attached import AttachedModel
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change
    from app.ui.window import MainWindow


class AttachedDialog(DialogFrame):
    """Enter looks at the file in hand, Delete strikes it; what was struck stays in the list."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(
            text("attached.heading"), main=text("attached.look"), intro=text("attached.intro"), width=1000,
            parent=window,
        )  # fmt: skip
        self._window = window
        self.model = AttachedModel(self)
        self.table = RuledTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(text("attached.heading"))
        self.table.setMinimumHeight(180)
        self.table.chosen.connect(lambda _row: self._look())
        self.body.addWidget(self.table)
        self.cancel.set_words(text("dialog.close"))
        self.strike = self.add_button(text("attached.strike"), text("key.del"))
        self.strike.answer_key()
        self.strike.clicked.connect(self._ask_strike)
        self.another = self.add_button(text("attached.another"), "Alt+A")
        self.another.answer_key()
        self.another.clicked.connect(lambda: open_attach_dialog(window))
        self.confirmed.connect(self._look)
        window.session.changed.connect(self._show)
        self._fill()
        self._choose_here()

    def _show(self, _change: Change) -> None:
        self._fill()

    def _fill(self) -> None:
        view = self._window.session.view
        if view is None:
            return
        self.model.put(view.job)
        if self.model.rowCount() and not self.table.currentIndex().isValid():
            self.table.setCurrentIndex(self.model.index(0, 0))
        locked = text("plate.locked") if view.read_only_reason else ""
        nothing = "" if self.model.rowCount() else text("attached.nothing")
        self.strike.set_reason(locked or nothing)
        self.another.set_reason(locked)
        self.main.set_reason(nothing)

    def _choose_here(self) -> None:
        """The first file of the step in hand, else of its core, is in hand."""
        core_id, procedure_id = self._window.place
        files = [self.model.line(row) for row in range(self.model.rowCount())]
        near = [
            (one.core_id == core_id, one.core_id == core_id and one.procedure_id == procedure_id)
            for one in files
            if one is not None
        ]
        if near:
            self.table.setCurrentIndex(self.model.index(near.index(max(near)), 0))

    def _look(self) -> None:
        row = self.table.currentIndex().row()
        if self.model.line(row) is not None:
            ViewerDialog(self._window, self.model, row).open()

    def _ask_strike(self) -> None:
        one = self.model.line(self.table.currentIndex().row())
        if one is None or one.struck_text:
            self.say(text("attached.struck_already") if one is not None else "")
            return
        dialog = ReasonDialog(
            text("attached.strike_heading", name=one.name_text), text("attached.strike_intro"),
            main=text("attached.strike"), parent=self._window,
        )  # fmt: skip
        dialog.given.connect(
            lambda reason: self._window.session.do(
                lambda desk, job_id: desk.strike_attached(job_id, one, reason),
                refused=dialog.say,
                done=lambda _change: dialog.accept(),
            )
        )
        dialog.open()

    def showEvent(self, event: QShowEvent) -> None:
        """The list takes the focus."""
        super().showEvent(event)
        self.table.setFocus(Qt.FocusReason.TabFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Names have what the others leave; the kind gives way on a narrow screen."""
        super().resizeEvent(event)
        wide = self.width() >= 800
        self.table.setColumnHidden(1, not wide)
        for column, width in ((1, 130), (2, 310 if wide else 200), (3, 250 if wide else 170)):
            self.table.setColumnWidth(column, width)
        self.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
