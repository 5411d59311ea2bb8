"""The store in use beside the one brought back: what each has that the other lacks, and a choice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.again import start_again
from app.ui.shell.lettering import Words
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk.copies import Restored
    from app.desk.two_stores import StoreSide
    from app.ui.window import MainWindow


class BroughtBackDialog(DialogFrame):
    """Enter stays with the store in use; a further button works on with the other. Neither is taken away."""

    def __init__(self, window: MainWindow, found: Restored) -> None:
        super().__init__(
            text("brought_back.heading"),
            main=text("brought_back.keep"),
            intro=text("brought_back.intro"),
            width=1000,
            parent=window,
        )
        self._window, self._path = window, found.path
        row = QHBoxLayout()
        row.setSpacing(28)
        for title, side in (("present", found.present), ("restored", found.restored)):
            row.addLayout(_column(title, side), 1)
        self.body.addLayout(row)
        self.use = self.add_button(text("brought_back.use"), "Alt+W")
        self.use.answer_key()
        self.use.clicked.connect(self._use)
        self.cancel.hide()
        self.confirmed.connect(self.accept)

    def _use(self) -> None:
        path = self._path
        self._window.copier.do(lambda keeper: keeper.work_with(path), done=self._start_again, failed=self.say)

    def _start_again(self, _words: str) -> None:
        self.accept()
        start_again(self._window)


def _column(title: str, side: StoreSide | None) -> QVBoxLayout:
    column = QVBoxLayout()
    column.setSpacing(6)
    column.setAlignment(Qt.AlignmentFlag.AlignTop)
    column.addWidget(Words(text(f"brought_back.{title}"), role="value", bold=True))
    if side is None:
        column.addWidget(Words(text("brought_back.unreadable"), role="body"))
        return column
    column.addWidget(Words(retold(side.only_here_text), role="value", bold=True))
    for line in (
        side.name_text,
        retold(side.counts_text),
        text("brought_back.last", at=retold(side.last_text)),
        text("brought_back.head", head=side.head_text),
    ):
        column.addWidget(Words(line))
    return column
