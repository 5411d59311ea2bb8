"""Dialogs that want a passphrase: nothing closes while a key is being opened, and nothing typed is lost."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt

from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.path import in_folder
from app.ui.shell.fields import FormField
from app.ui.shell.lettering import Words
from app.ui.shell.passphrase import PassphraseField, Tries
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change, Desk
    from app.ui.window import MainWindow


class PassphraseDialog(DialogFrame):
    """Fields among which one or more are hidden; `Alt+V` shows them."""

    def __init__(
        self, window: MainWindow, heading: str, *, main: str, intro: str = "", width: int = 720
    ) -> None:
        super().__init__(heading, main=main, intro=intro, width=width, parent=window)
        self.window_of = window
        self.hidden_fields: list[PassphraseField] = []
        self._working = False
        self._main_words = main

    def add_passphrase(self, caption: str, *, new: bool = False) -> PassphraseField:
        """One hidden question under the last one; the first brings the button that shows them."""
        field = PassphraseField(caption, new=new)
        self.form.adopt(field)
        self.body.addWidget(field)
        if not self.hidden_fields:
            self.reveal = self.add_button(text("passphrase.show"), "Alt+V")
            self.reveal.answer_key()
            self.reveal.clicked.connect(self._reveal)
            self._shown = False
        if new:
            field.line.textEdited.connect(lambda _typed: self.fit())
        self.hidden_fields.append(field)
        return field

    def add_path(self, caption: str, start: Path) -> FormField:
        """Where a file goes."""
        return self.add_field(caption, str(start), must_be_stated=True)

    def missing(self) -> bool:
        """Say at each field that has to be stated and is not; whether there is one."""
        wrong = []
        for field in self.form.fields:
            if field.must_be_stated and not field.locked and field.isVisible():
                field.say("" if field.value() else text("field.not_stated_reason"))
                wrong += [field] if field.reason else []
        if wrong:
            wrong[0].line.setFocus(Qt.FocusReason.TabFocusReason)
            self.fit()
        return bool(wrong)

    def run(
        self,
        verb: Callable[[Desk, str], Change],
        *,
        tries: Tries,
        done: Callable[[Change], None],
    ) -> None:
        """Run a verb on the job on the table under the key that was asked for."""
        if self._may_try(tries):
            self.window_of.session.do(
                self.window_of.works.watched("hand_in", tries.guarded(verb), aside=self),
                refused=self._refused,
                done=lambda change: self._finish(done, change),
            )

    def fetch(self, ask: Callable[[Desk], Any], *, tries: Tries, done: Callable[[Any], None]) -> None:
        """Run something that touches no job under the key that was asked for."""
        if self._may_try(tries):
            self.window_of.session.fetch(
                tries.guarded(ask), refused=self._refused, done=lambda found: self._finish(done, found)
            )

    def reject(self) -> None:
        """Leave it, unless a key is just being opened."""
        if not self._working:
            super().reject()

    def _may_try(self, tries: Tries) -> bool:
        if self._working:
            return False
        why_not = tries.why_not_now()
        if why_not:
            self.say(why_not)
            return False
        self._work(True)
        return True

    def _work(self, working: bool) -> None:
        self._working = working
        self.main.set_words(text("passphrase.working") if working else self._main_words)

    def _refused(self, sentence: str) -> None:
        self._work(False)
        self.say(sentence)
        if self.hidden_fields:
            self.hidden_fields[0].line.setFocus(Qt.FocusReason.TabFocusReason)

    def _finish(self, done: Callable[[Any], None], found: Any) -> None:
        self._work(False)
        done(found)

    def _reveal(self) -> None:
        self._shown = not self._shown
        for field in self.hidden_fields:
            field.reveal(self._shown)
        self.reveal.set_words(text("passphrase.hide" if self._shown else "passphrase.show"))


class SignDialog(PassphraseDialog):
    """Sign a step that who decides takes: approve, send back, issue. What is signed is said first."""

    def __init__(
        self,
        window: MainWindow,
        name: str,
        *,
        told: str,
        path: Path | None = None,
        with_reason: bool = False,
    ) -> None:
        super().__init__(window, text(f"{name}.heading"), main=text(f"{name}.main"))
        self._name = name
        self.body.addWidget(Words(told))
        self.reason = self.add_field(text(f"{name}.reason")) if with_reason else None
        self.path = self.add_path(text(f"{name}.path"), path) if path is not None else None
        self.passphrase = self.add_passphrase(text("passphrase.mine"))
        self.confirmed.connect(self._sign)

    def focus_passphrase(self) -> None:
        """The path stands ready; the passphrase is what is wanted."""
        self.passphrase.line.setFocus(Qt.FocusReason.TabFocusReason)

    def _sign(self) -> None:
        if self.missing():
            return
        passphrase = self.passphrase.value()
        path = Path(self.path.value()).expanduser() if self.path is not None else None
        reason = self.reason.value() if self.reason is not None else ""
        verbs: dict[str, Callable[[Desk, str], Change]] = {
            "approve": lambda desk, job_id: desk.approve(job_id, passphrase),
            "send_back": lambda desk, job_id: desk.send_back(job_id, passphrase, reason, made(path)),
            "issue": lambda desk, job_id: desk.issue(job_id, passphrase, made(path)),
        }
        self.run(verbs[self._name], tries=tries_of_mine(self.window_of), done=lambda _change: self.accept())


def made(path: Path | None) -> Path | None:
    """The path, in a folder that is there."""
    return None if path is None else in_folder(path)


def tries_of_mine(window: MainWindow) -> Tries:
    """The tries at the key of who sits here."""
    return window.tries.of(window.settings.me()[0])
