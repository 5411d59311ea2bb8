"""What goes to who helps: every paper is read here first, then all of them are written as one file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPlainTextEdit

from app.ui import theme
from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.path import PathDialog
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.diagnostics import Paper
    from app.ui.window import MainWindow


class DiagnosticsDialog(DialogFrame):
    """All papers one under the other, to be read to the end; a choice above leads to one of them."""

    def __init__(self, window: MainWindow, papers: Sequence[Paper]) -> None:
        super().__init__(
            text("diagnostics.heading"), main=text("diagnostics.main"), intro=text("diagnostics.intro"),
            width=900, parent=window,
        )  # fmt: skip
        self._window, self.papers = window, tuple(papers)
        self.choice = self.add_field(
            text("diagnostics.which"),
            self.papers[0].name,
            choices=[(one.name, one.name) for one in self.papers],
        )
        self.reader = QPlainTextEdit()
        self.reader.setReadOnly(True)
        self.reader.setFont(theme.font("second"))
        self.reader.setAccessibleName(text("diagnostics.heading"))
        self.reader.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByKeyboard | Qt.TextInteractionFlag.TextSelectableByMouse
        )
        self.reader.setMinimumHeight(max(120, window.height() - 400))
        self.reader.setPlainText("\n".join(f"{_head(one)}\n{one.words}" for one in self.papers))
        self.body.addWidget(self.reader, 1)
        self.choice.line.textChanged.connect(lambda _words: self._go())
        self.confirmed.connect(self._ask_where)

    def _go(self) -> None:
        """Bring the paper that was chosen to the top."""
        found = self.reader.document().find(f"== {self.choice.value()} ")
        if not found.isNull():
            self.reader.moveCursor(found.MoveOperation.End)
            self.reader.setTextCursor(found)

    def _ask_where(self) -> None:
        start = self._window.settings.folder / "coreleaf-diagnostics.zip"
        dialog = PathDialog(
            text("diagnostics.where"),
            main=text("diagnostics.write"),
            saving=True,
            start=start,
            parent=self._window,
        )
        dialog.path_chosen.connect(lambda path: self._write(path, dialog))
        dialog.open()

    def _write(self, path: Path, dialog: PathDialog) -> None:
        from app.desk import diagnostics

        self._window.session.fetch(
            lambda _desk: diagnostics.write(path, self.papers),
            refused=dialog.refuse,
            done=lambda written: self._written(written, dialog),
        )

    def _written(self, path: Path, dialog: PathDialog) -> None:
        dialog.accept()
        self.accept()
        self._window.bar.note(text("diagnostics.written", path=path))


def _head(paper: Paper) -> str:
    return f"== {paper.name} =="


def open_diagnostics(window: MainWindow) -> None:
    """Gather the papers and show them."""
    from app.desk import diagnostics

    window.session.fetch(diagnostics.papers, done=lambda found: DiagnosticsDialog(window, found).open())
