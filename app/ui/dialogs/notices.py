"""What changed between versions, this program's licence, and the notices of what it is built on."""

from __future__ import annotations

from importlib import metadata
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPlainTextEdit

from app.ui import theme
from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.fields import FormField
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow


def papers() -> dict[str, str]:
    """Every text there is to read, by its name."""
    found = {"CHANGES": (files("resources") / "CHANGES.md").read_text("utf-8"), "LICENSE": licence_text()}
    for entry in _all_files(files("resources") / "notices"):
        found[entry.name] = entry.read_text("utf-8")
    fonts = files("resources") / "fonts"
    found |= {one.name: one.read_text("utf-8") for one in fonts.iterdir() if one.name.endswith(".txt")}
    return found


def licence_text() -> str:
    """The program's own licence: beside the packages in a source tree, else in the installed distribution."""
    beside = Path(__file__).resolve().parents[3] / "LICENSE"
    if beside.exists():
        return beside.read_text("utf-8")
    for entry in metadata.files("coreleaf") or ():
        if entry.name == "LICENSE":
            return entry.read_text("utf-8")
    return "Apache-2.0"


def _all_files(folder: Traversable) -> list[Traversable]:
    found: list[Traversable] = []
    for entry in sorted(folder.iterdir(), key=lambda one: one.name):
        found.extend(_all_files(entry) if entry.is_dir() else [entry])
    return [entry for entry in found if entry.name.endswith((".md", ".txt")) or "." not in entry.name]


class NoticesDialog(DialogFrame):
    """A choice above, the text beneath."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(text("notices.heading"), main=text("dialog.close"), width=900, parent=window)
        self._papers = papers()
        self.choice: FormField = self.add_field(
            text("notices.which"), "CHANGES", choices=[(name, name) for name in self._papers]
        )
        self.reader = QPlainTextEdit()
        self.reader.setReadOnly(True)
        self.reader.setFont(theme.font("second"))
        self.reader.setAccessibleName(text("notices.heading"))
        self.reader.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByKeyboard | Qt.TextInteractionFlag.TextSelectableByMouse
        )
        self.reader.setMinimumHeight(200)
        self.body.addWidget(self.reader, 1)
        self.choice.line.textChanged.connect(lambda _text: self._show())
        self.cancel.hide()
        self.confirmed.connect(self.accept)
        self._show()

    def _show(self) -> None:
        self.reader.setPlainText(self._papers[self.choice.value()])
