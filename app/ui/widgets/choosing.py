"""Which answer of a choice a key means: letters that begin it, arrows and Space, or its number."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from typing import Final

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent

from app.ui.texts import text

# Practice: a gloved hand is slow; after this pause the next letter begins another word.
PAUSE_S: Final = 1.5
_CONTROL: Final = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier


class Choosing:
    """The letters typed in one choice so far; `reason` says why they choose nothing, "" where they do."""

    def __init__(self, now_s: Callable[[], float] = time.monotonic) -> None:
        self._now_s = now_s
        self._last_s = 0.0
        self._letters = ""
        self.reason = ""

    def forget(self) -> None:
        """The next letter begins a word."""
        self._letters = self.reason = ""

    def held_back(self) -> bool:
        """Whether letters stand that choose nothing: the first Enter only lets go of them."""
        held = bool(self.reason)
        self.forget()
        return held

    def press(
        self, event: QKeyEvent, words: Sequence[str], shown: str, *, numbered: bool = False
    ) -> str | None:
        """The answer after this key, `shown` where it chooses nothing; None where the key is no choice's.

        Letters choose the answer that begins with them; the same letter again goes to the next such answer.
        A number chooses the answer in that place, unless an answer itself begins with a digit; where the
        answers are shown with their numbers (`numbered`) it does so always.
        """
        sign = event.text()
        if event.modifiers() & _CONTROL:
            return None
        if event.key() == Qt.Key.Key_Backspace:
            self.forget()
            return shown
        here = words.index(shown) if shown in words else -1
        if self._goes_on(words, sign):
            return self._by_letters(sign, words, shown, here)
        if event.key() in (Qt.Key.Key_Right, Qt.Key.Key_Space) or sign in ("/", "+"):
            return self._by_place(words, (here + 1) % len(words))
        if event.key() == Qt.Key.Key_Left:
            return self._by_place(words, (here - 1) % len(words))
        if sign.isdecimal() and (numbered or not any(word[:1].isdecimal() for word in words)):
            return self._by_place(words, int(sign) - 1) if 1 <= int(sign) <= len(words) else shown
        return self._by_letters(sign, words, shown, here) if sign.isalnum() else None

    def _by_place(self, words: Sequence[str], place: int) -> str:
        self.forget()
        return words[place]

    def _goes_on(self, words: Sequence[str], sign: str) -> bool:
        """Whether a sign goes on a word that was begun: a blank, a digit and a dash can be part of one."""
        if self._now_s() - self._last_s > PAUSE_S:
            self.forget()
        begun = bool(self._letters) and bool(sign) and sign.isprintable()
        return begun and bool(_beginning(words, self._letters + sign))

    def _by_letters(self, sign: str, words: Sequence[str], shown: str, here: int) -> str:
        self._last_s = self._now_s()
        letters = self._letters + sign
        found = _beginning(words, letters)
        if not found and set(letters.casefold()) == {sign.casefold()}:
            letters, found = sign, _beginning(words, sign)
        self._letters = letters
        if not found:
            self.reason = text("choice.no_match", letters=letters, answers=", ".join(filter(None, words)))
            return shown
        self.reason = ""
        # One letter goes on from the answer in hand; more of them stay with it as long as it fits.
        first = here + 1 if len(letters) == 1 else max(here, 0)
        return words[min(found, key=lambda place: (place - first) % len(words))]


def _beginning(words: Sequence[str], letters: str) -> list[int]:
    """The places of the answers that begin with these letters, whatever their case."""
    return [place for place, word in enumerate(words) if word.casefold().startswith(letters.casefold())]


def next_answer_key() -> QKeyEvent:
    """The key that a touch on a choice stands for."""
    return QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier, " ")
