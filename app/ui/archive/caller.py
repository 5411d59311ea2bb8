"""Asks the archive in threads of their own; only the last question about a thing is answered."""

from __future__ import annotations

import threading
import time
from collections import Counter
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QObject, Qt, Signal

from app.settings import Settings
from app.ui.shell.session import sentence_of
from app.ui.texts import text

if TYPE_CHECKING:
    from app.jobstore.archive import Archive

# What is being written when the window closes gets so long; an archive that hangs longer is left alone.
PATIENCE_S: Final = 2.0
Told = Callable[[str], None]


class ArchiveCaller(QObject):
    """Holds the archive that the preferences name, open for writing only where that is permitted.

    Every question has a subject; an answer that comes after a newer question of that subject is dropped.
    """

    _arrived = Signal(object)
    broke = Signal(object)

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._asked: Counter[str] = Counter()
        self._opening = threading.Lock()
        self._archive: Archive | None = None
        self._place_text = ""
        self._threads: list[threading.Thread] = []
        self._closed = False
        # Qt: a queued connection carries the answer from its thread to the window's (6.11).
        self._arrived.connect(self._take, Qt.ConnectionType.QueuedConnection)

    @property
    def place_text(self) -> str:
        """Where the archive is; empty where none is named."""
        return self._settings.get("archive_place_text").strip()

    def ask(
        self,
        subject: str,
        question: Callable[[Archive], Any],
        *,
        done: Callable[[Any], None],
        failed: Told,
        always: bool = False,
    ) -> None:
        """Ask in a thread of its own; exactly one of `done` and `failed` follows, unless a newer question of
        the same subject was asked meanwhile. With `always` it follows in any case: an act is told of."""
        if not self.place_text:
            failed(text("archive.no_place"))
            return
        self._asked[subject] += 1
        number = self._asked[subject]

        def is_last() -> bool:
            return always or self._asked[subject] == number

        def run() -> None:
            try:
                found = question(self._open())
            except BaseException as problem:  # the fault is told in the window's thread
                told = problem
                self._tell(lambda: self._fail(told, failed) if is_last() else None)
            else:
                self._tell(lambda: done(found) if is_last() else None)

        thread = threading.Thread(target=run, name=f"archive {subject}", daemon=True)
        self._threads = [one for one in self._threads if one.is_alive()] + [thread]
        thread.start()

    def forget(self, subject: str) -> None:
        """Nobody waits for an answer about that any more."""
        self._asked[subject] += 1

    def close(self) -> None:
        """The window goes: answers on their way are dropped, what is being written gets a moment."""
        self._closed = True
        end = time.monotonic() + PATIENCE_S
        for thread in self._threads:
            thread.join(max(0.0, end - time.monotonic()))
        if self._archive is not None and not any(one.is_alive() for one in self._threads):
            self._archive.close()
            self._archive = None

    def _open(self) -> Archive:
        from app.jobstore.archive import Archive

        with self._opening:
            place_text = self.place_text
            if self._archive is None or self._place_text != place_text:
                if self._archive is not None:
                    self._archive.close()
                    self._archive = None
                self._archive = Archive.look(place_text)
                self._place_text = place_text
            return self._archive

    def _tell(self, act: Callable[[], object]) -> None:
        if not self._closed:
            self._arrived.emit(act)

    def _take(self, act: Callable[[], object]) -> None:
        if not self._closed:
            act()

    def _fail(self, problem: BaseException, failed: Told) -> None:
        sentence = sentence_of(problem)
        if sentence is None:
            self.broke.emit(problem)
        failed(sentence or text("archive.failed"))
