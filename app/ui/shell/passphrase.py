"""Passphrases on the screen: hidden as they are keyed, counted where they are wrong, each wait longer."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from contextlib import suppress
from math import ceil
from pathlib import Path
from typing import Any, Final, TypeVar

from PySide6.QtWidgets import QLineEdit

from app.record.files import make_folder, write_whole
from app.ui.shell.fields import FormField
from app.ui.texts import text

MOST_TRIES: Final = 10
# Practice: each wrong try doubles the wait, up to a minute (common practice, no source).
LONGEST_WAIT_S: Final = 60.0
# After the last of them the next is an hour off.
STOPPED_S: Final = 3600.0

T = TypeVar("T")


class Tries:
    """The tries at one key. Wrong ones make the next one wait, in the next run of the program too.

    Somebody who takes a copy of the key away, or puts the clock, is not bound by it.
    """

    def __init__(
        self,
        clock: Callable[[], float] = time.time,
        *,
        wrong_count: int = 0,
        next_s: float = 0.0,
        keep: Callable[[], None] = lambda: None,
    ) -> None:
        self._clock = clock
        self._keep = keep
        self.wrong_count = wrong_count
        # A clock that was put back makes nobody wait longer than the count asks for.
        self.next_s = min(next_s, clock() + self._pause_s())

    def note_wrong(self) -> None:
        """A try did not open the key."""
        self.wrong_count = min(self.wrong_count + 1, MOST_TRIES)
        self.next_s = self._clock() + self._pause_s()
        self._keep()

    def note_right(self) -> None:
        """A try opened the key: the count begins anew."""
        if self.wrong_count:
            self.wrong_count, self.next_s = 0, 0.0
            self._keep()

    def _pause_s(self) -> float:
        if self.wrong_count >= MOST_TRIES:
            return STOPPED_S
        return min(LONGEST_WAIT_S, 2.0 ** (self.wrong_count - 1)) if self.wrong_count else 0.0

    @property
    def wait_s(self) -> int:
        """Whole seconds until the next try is taken."""
        return max(0, ceil(self.next_s - self._clock()))

    def why_not_now(self) -> str:
        """Why no try is taken now; empty where one is."""
        if not self.wait_s:
            return ""
        if self.wrong_count >= MOST_TRIES:
            return text("passphrase.no_more", most=MOST_TRIES, wait=ceil(self.wait_s / 60))
        return text("passphrase.wait", wait=self.wait_s, count=self.wrong_count, most=MOST_TRIES)

    def said(self) -> str:
        """What a wrong try is answered with; it never says which part was wrong."""
        if self.wrong_count >= MOST_TRIES:
            return self.why_not_now()
        return text("passphrase.wrong", wait=self.wait_s, count=self.wrong_count, most=MOST_TRIES)

    def guarded(self, verb: Callable[..., T]) -> Callable[..., T]:
        """The verb with its tries counted; it runs on the writer thread, one at a time."""

        def run(*args: Any) -> T:
            from app.desk import Refusal
            from app.desk.view import NotOpened

            try:
                made = verb(*args)
            except NotOpened as problem:
                self.note_wrong()
                raise Refusal(self.said()) from problem
            self.note_right()
            return made

        return run


class TriesBook:
    """Tries by key, whose it is or that of the office, kept in a file; one that cannot be read is empty."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._tries: dict[str, Tries] = {}

    def of(self, whose: str) -> Tries:
        """The tries at one key."""
        if whose not in self._tries:
            found = self._load().get(whose)
            wrong_count, next_s = found if isinstance(found, list) and len(found) == 2 else (0, 0.0)
            self._tries[whose] = Tries(wrong_count=int(wrong_count), next_s=float(next_s), keep=self._keep)
        return self._tries[whose]

    def _load(self) -> dict[str, Any]:
        try:
            found = json.loads(self._path.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        return found if isinstance(found, dict) else {}

    def _keep(self) -> None:
        now = {whose: [one.wrong_count, one.next_s] for whose, one in self._tries.items()}
        # A place that may not be written to keeps no count; the wait of this run holds all the same.
        with suppress(OSError):
            make_folder(self._path.parent)
            write_whole(self._path, json.dumps({**self._load(), **now}).encode(), mode=0o600)


class PassphraseField(FormField):
    """A field whose text is hidden until it is asked for."""

    def __init__(self, caption: str, *, new: bool = False) -> None:
        super().__init__(caption, must_be_stated=True)
        self.line.setEchoMode(QLineEdit.EchoMode.Password)
        if new:
            self.line.textEdited.connect(self._say_strength)

    def reveal(self, shown: bool) -> None:
        """Show what was keyed, or hide it again."""
        self.line.setEchoMode(QLineEdit.EchoMode.Normal if shown else QLineEdit.EchoMode.Password)

    def _say_strength(self, typed: str) -> None:
        self.say("")
        self.note(strength(typed.strip()))


def strength(typed: str) -> str:
    """How a new passphrase holds, in plain words."""
    from app.record.envelope import SHORTEST_PASSPHRASE, weakness

    if not typed:
        return ""
    if len(typed) < SHORTEST_PASSPHRASE:
        return text("passphrase.short", count=len(typed), least=SHORTEST_PASSPHRASE)
    return weakness(typed) or text("passphrase.long_enough", count=len(typed))
