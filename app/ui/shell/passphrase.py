"""Passphrases on the screen: hidden as they are keyed, counted where they are wrong, each wait longer."""

from __future__ import annotations

import time
from collections.abc import Callable
from math import ceil
from typing import Any, Final, TypeVar

from PySide6.QtWidgets import QLineEdit

from app.ui.shell.fields import FormField
from app.ui.texts import text

MOST_TRIES: Final = 10
# Practice: each wrong try doubles the wait, up to a minute (common practice, no source).
LONGEST_WAIT_S: Final = 60.0

T = TypeVar("T")


class Tries:
    """The tries at one key since the program was started. Wrong ones make the next one wait."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self.wrong_count = 0
        self._next_s = 0.0

    def note_wrong(self) -> None:
        """A try did not open the key."""
        self.wrong_count += 1
        self._next_s = self._clock() + min(LONGEST_WAIT_S, 2.0 ** (self.wrong_count - 1))

    def note_right(self) -> None:
        """A try opened the key: the count begins anew."""
        self.wrong_count, self._next_s = 0, 0.0

    @property
    def wait_s(self) -> int:
        """Whole seconds until the next try is taken."""
        return max(0, ceil(self._next_s - self._clock()))

    def why_not_now(self) -> str:
        """Why no try is taken now; empty where one is."""
        if self.wrong_count >= MOST_TRIES:
            return text("passphrase.no_more", most=MOST_TRIES)
        if self.wait_s:
            return text("passphrase.wait", wait=self.wait_s, count=self.wrong_count, most=MOST_TRIES)
        return ""

    def said(self) -> str:
        """What a wrong try is answered with; it never says which part was wrong."""
        if self.wrong_count >= MOST_TRIES:
            return text("passphrase.no_more", most=MOST_TRIES)
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
    """Tries by key: whose it is, or that of the office."""

    def __init__(self) -> None:
        self._tries: dict[str, Tries] = {}

    def of(self, whose: str) -> Tries:
        """The tries at one key."""
        return self._tries.setdefault(whose, Tries())


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
