"""One dialog for every act on keys: its questions are rows, its words stand in the text table."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog

from app.ui.dialogs.signing import PassphraseDialog
from app.ui.shell.fields import FormField
from app.ui.shell.passphrase import Tries
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Desk
    from app.ui.window import MainWindow

Kind = Literal["text", "choice", "read", "write", "passphrase", "new", "again"]
Answers = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One field: a text, a choice, a file to read or write, a passphrase, a new one, the new one again."""

    name: str
    kind: Kind = "text"
    value: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    optional: bool = False


class KeyActDialog(PassphraseDialog):
    """Asks, runs the act on the writer thread, and stays open with everything typed where it is refused."""

    def __init__(
        self,
        window: MainWindow,
        name: str,
        questions: Sequence[Question],
        ask: Callable[[Desk, Answers], Any],
        *,
        tries: Tries,
        done: Callable[[Any], None],
        intro: str = "",
    ) -> None:
        super().__init__(
            window, text(f"{name}.heading"), main=text(f"{name}.main"), intro=intro or text(f"{name}.intro"),
            width=760,
        )  # fmt: skip
        self._questions, self._ask, self._tries, self._done = questions, ask, tries, done
        self._replaced = ""
        self.answers: dict[str, FormField] = {}
        for question in questions:
            self.answers[question.name] = self._field(name, question)
        self._files = [one for one in questions if one.kind in ("read", "write")]
        if self._files:
            browse = self.add_button(text("path.browse"), "Alt+B")
            browse.answer_key()
            browse.clicked.connect(self._browse)
        self.confirmed.connect(self._go)

    def _field(self, name: str, question: Question) -> FormField:
        caption = text(f"{name}.{question.name}")
        if question.kind in ("passphrase", "new", "again"):
            return self.add_passphrase(caption, new=question.kind == "new")
        must = not question.optional and question.kind != "choice"
        return self.add_field(caption, question.value, choices=question.choices, must_be_stated=must)

    def _go(self) -> None:
        if self.missing() or not self._same() or not self._may_write():
            return
        values = {name: field.value() for name, field in self.answers.items()}
        for question in self._files:
            path = Path(values[question.name]).expanduser()
            if question.kind == "write":
                path.parent.mkdir(parents=True, exist_ok=True)
            values[question.name] = str(path)
        ask = self._ask
        self.fetch(lambda desk: ask(desk, values), tries=self._tries, done=self._came)

    def _came(self, found: Any) -> None:
        self.accept()
        self._done(found)

    def _same(self) -> bool:
        """A new passphrase is keyed twice, since nobody sees it."""
        new = next((one.name for one in self._questions if one.kind == "new"), None)
        again = next((one.name for one in self._questions if one.kind == "again"), None)
        if new is None or again is None or self.answers[new].value() == self.answers[again].value():
            return True
        self.answers[again].say(text("passphrase.not_the_same"))
        self.answers[again].line.setFocus(Qt.FocusReason.TabFocusReason)
        self.fit()
        return False

    def _may_write(self) -> bool:
        for question in self._files:
            field = self.answers[question.name]
            path = Path(field.value()).expanduser()
            if question.kind == "write" and path.exists() and field.value() != self._replaced:
                self._replaced = field.value()
                field.say(text("path.exists", name=path.name))
                self.fit()
                return False
        return True

    def _browse(self) -> None:
        """The system's own browser for the file in hand, else for the first one."""
        field, question = next(
            ((self.answers[one.name], one) for one in self._files if self.answers[one.name].line.hasFocus()),
            (self.answers[self._files[0].name], self._files[0]),
        )
        browser = QFileDialog(self, self.windowTitle(), field.value())
        writing = question.kind == "write"
        browser.setFileMode(QFileDialog.FileMode.AnyFile if writing else QFileDialog.FileMode.ExistingFile)
        if writing:
            browser.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        browser.fileSelected.connect(lambda path: self._take(field, path))
        browser.finished.connect(browser.deleteLater)
        browser.open()

    def _take(self, field: FormField, path: str) -> None:
        self._replaced = path
        field.line.setText(path)
        field.line.setFocus()
