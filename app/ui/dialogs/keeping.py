"""How long a record of the archive is kept: held, let go, kept longer, deleted. Each with words first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.fields import FormField
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.archive.opened import Opened
    from app.jobstore.archive import Archive
    from app.ui.window import MainWindow

Act = Callable[["Archive", dict[str, str], dt.datetime], Any]
RETENTIONS: Final = ("unit_life_plus_6", "24_years", "40_years", "for_ever")


def retention_words(retention: str) -> str:
    """A class of keeping in words."""
    return text(f"retention.{retention}")


class KeepingDialog(DialogFrame):
    """Says what will be, asks for a name and what else the act wants, and stays open where it is refused."""

    def __init__(
        self, window: MainWindow, name: str, opened: Opened, act: Act, done: Callable[[], None]
    ) -> None:
        line = opened.line
        super().__init__(
            text(f"{name}.heading"),
            main=text(f"{name}.main"),
            intro=text(f"{name}.intro", number=line.number_text, revision=line.revision),
            width=680,
            parent=window,
        )
        self._window, self._name, self._act, self._done = window, name, act, done
        self.answers: dict[str, FormField] = {}

    def ask(self, name: str, value: str = "", *, choices: Any = (), must: bool = True) -> FormField:
        """One more question; one that must be answered says so."""
        field = self.add_field(
            text(f"{self._name}.{name}"), value, choices=choices, must_be_stated=must and not choices
        )
        self.answers[name] = field
        return field

    def ready(self) -> KeepingDialog:
        """The last question is who does it."""
        self.ask("person", self._window.settings.get("person_name_text"))
        self.confirmed.connect(self._go)
        return self

    def _go(self) -> None:
        missing = [one for one in self.answers.values() if one.must_be_stated and not one.value()]
        for field in self.answers.values():
            field.say(text("reason.missing") if field in missing else "")
        if missing:
            missing[0].line.setFocus()
            self.fit()
            return
        said = {name: field.value() for name, field in self.answers.items()}
        now = dt.datetime.now(dt.UTC)
        self.main.set_reason(text("archive.asking"))
        self._window.archive.ask(
            "keeping",
            lambda archive: self._act(archive, said, now),
            done=lambda _found: self._came(),
            failed=self._refused,
            always=True,
        )

    def _came(self) -> None:
        self.accept()
        self._window.bar.say(text(f"{self._name}.done"))
        self._done()

    def _refused(self, sentence: str) -> None:
        self.main.set_reason("")
        self.say(sentence)


def hold_dialog(window: MainWindow, opened: Opened, done: Callable[[], None]) -> KeepingDialog:
    """Hold a record, so that nobody deletes it."""
    name = opened.line.record_digest

    def act(archive: Archive, said: dict[str, str], now: dt.datetime) -> None:
        archive.hold(name, reason_text=said["reason"], person_text=said["person"], at=now)

    dialog = KeepingDialog(window, "hold", opened, act, done)
    dialog.ask("reason")
    return dialog.ready()


def end_hold_dialog(window: MainWindow, opened: Opened, done: Callable[[], None]) -> KeepingDialog:
    """End one of the holds; that it was there stays written."""

    def act(archive: Archive, said: dict[str, str], now: dt.datetime) -> None:
        archive.end_hold(int(said["which"]), person_text=said["person"], at=now)

    dialog = KeepingDialog(window, "end_hold", opened, act, done)
    choices = []
    for one in opened.holds:
        day = one.at_utc[:10]
        words = text("end_hold.one", who=one.person_text, reason=one.reason_text, day=day)
        choices.append((str(one.hold_no), words))
    dialog.ask("which", choices[0][0], choices=choices)
    return dialog.ready()


def keep_dialog(window: MainWindow, opened: Opened, done: Callable[[], None]) -> KeepingDialog:
    """Keep a record longer; it can never be shorter than before."""

    def act(archive: Archive, said: dict[str, str], now: dt.datetime) -> None:
        from app.desk.archive.opened import keep_longer

        keep_longer(
            archive,
            opened,
            retention=said["retention"],
            until=said["until"],
            person_text=said["person"],
            at=now,
        )

    from app.desk.archive.opened import least_until

    dialog = KeepingDialog(window, "keep", opened, act, done)
    choices = [(one, retention_words(one)) for one in RETENTIONS]
    kept = dialog.ask("retention", opened.kept.retention, choices=choices)
    until = dialog.ask("until", opened.kept.keep_until, must=False)

    def show_least(_value: str) -> None:
        until.line.setText(least_until(opened, kept.value()))

    kept.kept.connect(show_least)
    return dialog.ready()


def delete_dialog(window: MainWindow, opened: Opened, done: Callable[[], None]) -> KeepingDialog:
    """Delete a record whose day has come; its mark with name and reason stays for good."""
    name = opened.line.record_digest

    def act(archive: Archive, said: dict[str, str], now: dt.datetime) -> None:
        archive.delete(name, reason_text=said["reason"], person_text=said["person"], at=now)

    dialog = KeepingDialog(window, "delete_record", opened, act, done)
    dialog.ask("reason")
    return dialog.ready()
