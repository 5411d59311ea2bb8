"""A file to read or to write: its path as a line of text, with the system's own browser beside it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from app.ui.dialogs.frame import DialogFrame
from app.ui.texts import text

TABLES: Final = "*.xlsx *.csv *.txt *.tsv"


def browse_for(dialog: QWidget, start: str, chosen: Callable[[str], None], kind: str = TABLES) -> None:
    """Let the system's browser look for a file to read."""
    browser = QFileDialog(dialog, dialog.windowTitle(), start, kind)
    browser.setFileMode(QFileDialog.FileMode.ExistingFile)
    browser.fileSelected.connect(chosen)
    browser.finished.connect(browser.deleteLater)
    browser.open()


def in_folder(path: Path) -> Path:
    """The same path, its folder made where it is not there yet."""
    path.parent.mkdir(parents=True, exist_ok=True)
    return path


class PathDialog(DialogFrame):
    """Tells the path by `path_chosen`; it stays open until it is accepted, for a refusal to stand in it."""

    path_chosen = Signal(Path)

    def __init__(
        self,
        heading: str,
        intro: str = "",
        *,
        main: str,
        saving: bool,
        start: Path | None = None,
        kind: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(heading, main=main, intro=intro, width=760, parent=parent)
        self._saving, self._kind = saving, kind
        self._replaced = ""
        self.field = self.add_field(text("path.caption"), str(start or ""), must_be_stated=True)
        browse = self.add_button(text("path.browse"), "Alt+B")
        browse.answer_key()
        browse.clicked.connect(self._browse)
        self.confirmed.connect(self._choose)

    def refuse(self, sentence: str) -> None:
        """Say at the field why the file is not taken; the path stays."""
        self.field.say(sentence)
        self.fit()

    def _choose(self) -> None:
        typed = self.field.value()
        self.refuse("")
        if not typed:
            self.refuse(text("path.missing"))
            return
        path = Path(typed).expanduser()
        if self._saving and path.exists() and typed != self._replaced:
            self._replaced = typed
            self.refuse(text("path.exists", name=path.name))
            return
        self.path_chosen.emit(path)

    def _browse(self) -> None:
        browser = QFileDialog(self, self.windowTitle(), self.field.value(), self._kind)
        browser.setFileMode(
            QFileDialog.FileMode.AnyFile if self._saving else QFileDialog.FileMode.ExistingFile
        )
        if self._saving:
            browser.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        browser.fileSelected.connect(self._take)
        browser.finished.connect(browser.deleteLater)
        browser.open()

    def _take(self, path: str) -> None:
        # The browser has asked already whether a file that stands there is to be replaced.
        self._replaced = path
        self.field.line.setText(path)
        self.field.line.setFocus()
