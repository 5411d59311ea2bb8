"""Which language is spoken: that of the screen, unless a sheet is being set in its own."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final

from app.words.tables import ENGLISH, LANGUAGES, PSEUDO

_on_screen = [ENGLISH]
_set_in: Final[ContextVar[str | None]] = ContextVar("set_in", default=None)


def language() -> str:
    """The language that words are told in here."""
    return _set_in.get() or _on_screen[0]


def speak(language_id: str) -> None:
    """Tell the words of the screen in that language from now on; one that is not known leaves English."""
    _on_screen[0] = language_id if is_known(language_id) else ENGLISH


@contextmanager
def speaking(language_id: str) -> Iterator[None]:
    """Tell words in that language until the end, whatever the screen speaks; an unknown one gives English."""
    before = _set_in.set(language_id if is_known(language_id) else ENGLISH)
    try:
        yield
    finally:
        _set_in.reset(before)


def is_known(language_id: str) -> bool:
    """Whether there are tables of that language."""
    return language_id == PSEUDO or any(language_id == known for known, _ in LANGUAGES)
