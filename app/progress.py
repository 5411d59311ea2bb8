"""Long work that tells how far it is and can be stopped before anything of it is written."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final, Literal, TypeVar

_TELL_EVERY_S: Final = 0.05
_STOPPED: Final = "Stopped. Nothing of it was written; everything stands as it did before."

Item = TypeVar("Item")
# What is counted on the way.
Unit = Literal["core", "file", "page", "piece", "position", "record", "revision", "set"]
Tell = Callable[[int, int, Unit], object]


class Stopped(Exception):
    """The person who asked for the work stopped it; nothing was written."""

    sentence = _STOPPED

    def __init__(self) -> None:
        super().__init__(_STOPPED)


class Work:
    """One long work: `tell(done, all, unit)` is called from its thread, `stop` from any other."""

    def __init__(self, tell: Tell) -> None:
        self._tell = tell
        self._stop = threading.Event()
        self._told_s = 0.0
        self.whole = False

    def stop(self) -> None:
        """End it at its next step; what is being written already is written whole."""
        self._stop.set()

    @property
    def stopped(self) -> bool:
        """Whether it was asked to end."""
        return self._stop.is_set()

    def go_on(self) -> None:
        """Raise Stopped where it was asked to end and nothing is being written yet."""
        if self._stop.is_set() and not self.whole:
            raise Stopped

    def step(self, done: int, count: int, unit: Unit) -> None:
        """So much is done. Raises Stopped where it was asked to end and nothing is being written yet."""
        self.go_on()
        self.told(done, count, unit)

    def told(self, done: int, count: int, unit: Unit) -> None:
        """So much is done, for work that looks itself whether it was asked to end."""
        now_s = time.monotonic()
        if now_s - self._told_s >= _TELL_EVERY_S or done == count:
            self._told_s = now_s
            self._tell(done, count, unit)

    def write_whole(self) -> None:
        """From here on it is written and cannot be stopped. Raises Stopped where it was stopped before."""
        self.go_on()
        self.whole = True
        self._tell(0, 0, "piece")


_IN_HAND: ContextVar[Work | None] = ContextVar("work in hand", default=None)


@contextmanager
def under(work: Work) -> Iterator[None]:
    """What is done within is this work, wherever in the program it takes its steps."""
    before = _IN_HAND.set(work)
    try:
        yield
    finally:
        _IN_HAND.reset(before)


def each(items: Sequence[Item], unit: Unit) -> Iterator[Item]:
    """The items one by one, telling before each how many are done; plain where nobody watches."""
    work = _IN_HAND.get()
    for done, item in enumerate(items):
        if work is not None:
            work.step(done, len(items), unit)
        yield item


def in_hand() -> Work | None:
    """The work in hand, for what keeps what it found when it is stopped; None where nobody watches."""
    return _IN_HAND.get()


def go_on() -> None:
    """A place amid a step where the work in hand can be stopped."""
    work = _IN_HAND.get()
    if work is not None:
        work.go_on()


def write_whole() -> None:
    """What follows is written in one go: the last place where the work in hand can still be stopped."""
    work = _IN_HAND.get()
    if work is not None:
        work.write_whole()


__all__ = ["Stopped", "Unit", "Work", "each", "go_on", "in_hand", "under", "write_whole"]
