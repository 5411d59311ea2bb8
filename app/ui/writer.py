"""One thread that writes: verbs run on it in the order asked, results come back to the window's."""

from __future__ import annotations

import time
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any, Final

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, QTimer, Signal

from app.log import Kind, place_of

SAVING_AFTER_MS: Final = 300

Note = Callable[[Kind, str, float], None]


@dataclass(frozen=True, slots=True)
class _Asked:
    """One verb on its way: whom to tell when it is done or failed."""

    done: Callable[[Any], None] | None
    failed: Callable[[BaseException], None] | None
    result: Any = None
    problem: BaseException | None = None


class Writer(QObject):
    """Runs each verb on one thread and tells of it on the window's.

    `busy_changed` follows whether something is on its way; `saving` says after 300 ms that it takes long,
    and falls back when all is written. Keys that come meanwhile are held by `ui.widgets.keyhold`.
    """

    busy_changed = Signal(bool)
    saving = Signal(bool)
    failed = Signal(object)
    _arrived = Signal(object)

    def __init__(self, parent: QObject | None = None, *, note: Note | None = None) -> None:
        super().__init__(parent)
        self._note = note
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="writer")
        self._pending_count = 0
        self._slow = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(SAVING_AFTER_MS)
        self._timer.timeout.connect(self._tell_slow)
        # Qt: a queued connection carries the result from the writer's thread to the window's (6.11).
        self._arrived.connect(self._take, Qt.ConnectionType.QueuedConnection)

    @property
    def busy(self) -> bool:
        """Whether a verb was asked for and has not come back."""
        return self._pending_count > 0

    def submit(
        self,
        verb: Callable[..., Any],
        *args: Any,
        done: Callable[[Any], None] | None = None,
        failed: Callable[[BaseException], None] | None = None,
        **kwargs: Any,
    ) -> None:
        """Run `verb` on the writer thread; exactly one of `done(result)` and `failed(problem)` follows here.

        A problem that no `failed` takes comes out of the signal `failed`.
        """
        self._pending_count += 1
        if self._pending_count == 1:
            self._timer.start()
            self.busy_changed.emit(True)
        future = self._pool.submit(self._timed, verb, *args, **kwargs)
        future.add_done_callback(lambda finished: self._send(finished, done, failed))

    def close(self, *, told: bool = False) -> None:
        """Finish what was asked for and end the thread. Results still on their way are told of or dropped."""
        self._timer.stop()
        self._pool.shutdown(wait=True)
        if told:
            # Qt: what a thread that ended had queued is delivered at once, before the window goes (6.11).
            QCoreApplication.sendPostedEvents(self, QEvent.Type.MetaCall)

    def _timed(self, verb: Callable[..., Any], *args: Any, **kwargs: Any) -> Any:
        """Run a verb and note where in the program it stands, how it ended, and how long it took."""
        begun_s = time.perf_counter()
        kind: Kind = "verb"
        try:
            return verb(*args, **kwargs)
        except BaseException as problem:
            kind = "refused" if hasattr(problem, "sentence") else "failed"
            raise
        finally:
            if self._note is not None:
                self._note(kind, place_of(verb), (time.perf_counter() - begun_s) * 1000.0)

    def _send(
        self,
        finished: Future[Any],
        done: Callable[[Any], None] | None,
        failed: Callable[[BaseException], None] | None,
    ) -> None:
        problem = finished.exception()
        result = None if problem is not None else finished.result()
        self._arrived.emit(_Asked(done, failed, result, problem))

    def _take(self, asked: _Asked) -> None:
        self._pending_count -= 1
        try:
            if asked.problem is None:
                if asked.done is not None:
                    asked.done(asked.result)
            elif asked.failed is not None:
                asked.failed(asked.problem)
            else:
                self.failed.emit(asked.problem)
        finally:
            self._settle()

    def _settle(self) -> None:
        if self._pending_count > 0:
            return
        self._timer.stop()
        if self._slow:
            self._slow = False
            self.saving.emit(False)
        self.busy_changed.emit(False)

    def _tell_slow(self) -> None:
        self._slow = True
        self.saving.emit(True)
