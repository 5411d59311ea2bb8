"""Which language is spoken, and with which decimal mark: those of the screen, unless a sheet is being set."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final

from app.words.tables import ENGLISH, LANGUAGES, PSEUDO

Spoken = tuple[str, bool]

_on_screen: Final[list[Spoken]] = [(ENGLISH, False)]
_set_in: Final[ContextVar[Spoken | None]] = ContextVar("set_in", default=None)


def language() -> str:
    """The language that words are told in here."""
    return (_set_in.get() or _on_screen[0])[0]


def decimal_comma() -> bool:
    """Whether figures are shown with a decimal comma here."""
    return (_set_in.get() or _on_screen[0])[1]


def speak(language_id: str, *, comma: bool = False) -> None:
    """Tell the words of the screen in that language from now on; one that is not known leaves English."""
    _on_screen[0] = _known(language_id, comma)


@contextmanager
def speaking(language_id: str, *, comma: bool = False) -> Iterator[None]:
    """Tell words in that language until the end, whatever the screen speaks; an unknown one gives English."""
    before = _set_in.set(_known(language_id, comma))
    try:
        yield
    finally:
        _set_in.reset(before)


def _known(language_id: str, comma: bool) -> Spoken:
    return (language_id if is_known(language_id) else ENGLISH), comma


def is_known(language_id: str) -> bool:
    """Whether there are tables of that language."""
    return language_id == PSEUDO or any(language_id == known for known, _ in LANGUAGES)
