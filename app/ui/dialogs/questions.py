"""What two computers say differently: choose the value that holds, say why, one after the other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QHeaderView

from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.reason import ReasonDialog
from app.ui.models.questions import QuestionsModel, SideRow
from app.ui.shell.lettering import Words
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.questions import QuestionLine
    from app.ui.window import MainWindow

_ROW: Final = 44
_MOST_ROWS: Final = 8


def open_questions_dialog(window: MainWindow) -> None:
    """Read what is open and show all of it."""
    job_id = window.session.job_id or ""
    window.session.fetch(
        lambda desk: desk.questions(job_id), done=lambda found: QuestionsDialog(window, found).open()
    )


class QuestionsDialog(DialogFrame):
    """Enter keeps the value in hand, with a reason; the others stay to be read, struck."""

    def __init__(self, window: MainWindow, found: Sequence[QuestionLine]) -> None:
        super().__init__(
            text("questions.heading"), main=text("questions.keep"), intro=text("questions.intro"), width=1180,
            parent=window,
        )  # fmt: skip
        self._window = window
        self.count = Words(role="value", bold=True)
        self.body.addWidget(self.count)
        self.model, self.table = QuestionsModel(self), RuledTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(text("questions.heading"))
        self.table.chosen.connect(lambda _row: self.ask())
        self.body.addWidget(self.table)
        self.cancel.set_words(text("dialog.close"))
        self.there = self.add_button(text("questions.there"), "Alt+G")
        self.there.answer_key()
        self.there.clicked.connect(self.go_there)
        self.confirmed.connect(self.ask)
        self._put(found)

    def ask(self) -> None:
        """Ask why the value in hand is kept."""
        row = self._in_hand
        if row is None:
            return
        dialog = ReasonDialog(
            text("questions.why", value=row.its.value_text), text("questions.why_intro"),
            main=text("questions.keep"), parent=self._window,
        )  # fmt: skip
        dialog.given.connect(lambda reason: self._keep(row, reason, dialog))
        dialog.open()

    def go_there(self) -> None:
        """Go to the test, or to the plate, of the question in hand."""
        row = self._in_hand
        if row is None or not row.question.core_id:
            return
        self.accept()
        if row.question.procedure_id:
            self._window.go_to(row.question.core_id, row.question.procedure_id)
        else:
            self._window.page("plate").show_core(row.question.core_id)
            self._window.show_page("plate")

    @property
    def _in_hand(self) -> SideRow | None:
        return self.model.line(self.table.currentIndex().row())

    def _keep(self, row: SideRow, reason: str, dialog: ReasonDialog) -> None:
        self._window.session.do(
            lambda desk, job_id: desk.keep(job_id, row.question.key, row.side, reason),
            refused=dialog.say,
            done=lambda _change: self._kept(dialog),
        )

    def _kept(self, dialog: ReasonDialog) -> None:
        dialog.accept()
        job_id = self._window.session.job_id or ""
        self._window.session.fetch(lambda desk: desk.questions(job_id), done=self._put)

    def _put(self, found: Any) -> None:
        row = max(self.table.currentIndex().row(), 0)
        self.model.put(found)
        rows = self.model.rowCount()
        self.table.setCurrentIndex(self.model.index(min(row, rows - 1), 0))
        self.table.setFixedHeight(_ROW * min(max(rows, 1), _MOST_ROWS) + 42)
        self.table.setVisible(bool(rows))
        self.count.setText(text("questions.count", count=len(found)) if found else text("questions.none"))
        self.main.setVisible(bool(rows))
        self.there.setVisible(bool(rows))
        self.fit()

    def showEvent(self, event: QShowEvent) -> None:
        """The list takes the focus."""
        super().showEvent(event)
        self.table.setFocus(Qt.FocusReason.TabFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The place has what the others leave; on a narrow screen the time gives way."""
        super().resizeEvent(event)
        wide = self.width() >= 900
        self.table.setColumnHidden(4, not wide)
        for column, width in ((1, 250 if wide else 150), (2, 150), (3, 150), (4, 270)):
            self.table.setColumnWidth(column, width)
        self.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
