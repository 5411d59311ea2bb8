"""Copies in a thread of their own: after signing, half an hour after a change, at the end.

One is made soon after the start too where the last run came to no end, and on a device connected later.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from app.settings import Settings

if TYPE_CHECKING:
    from app.desk import Change
    from app.desk.copies import CopiesView, CopyKeeper
    from app.jobstore import Store

AFTER_CHANGE_MS: Final = 30 * 60 * 1000
# Qt: what the store's disk holds free is looked at once the window is up, so that the start pays nothing.
LOOK_AFTER_MS: Final = 3000
LOOK_EVERY_MS: Final = 30_000
# How long ago a copy was made is told in hours: it is reckoned anew often enough for that.
TELL_EVERY_MS: Final = 10 * 60 * 1000


class Copier(QObject):
    """One thread of its own: the writer goes on meanwhile, and keys are never held for it.

    `made` tells what copies there are; `working` follows a copy on its way; `said` is for the bar.
    """

    made = Signal(object)
    working = Signal(bool)
    said = Signal(str)
    _arrived = Signal(object, object, object)

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="copier")
        self._store: Store | None = None
        self._closed = False
        self._states: dict[str, str] = {}
        self._space_words = ""
        self._away_there: bool | None = None
        self._telling = QTimer(self, interval=TELL_EVERY_MS)
        self._telling.timeout.connect(self.look)
        self._due = QTimer(self, singleShot=True, interval=AFTER_CHANGE_MS)
        self._due.timeout.connect(self.copy)
        self._looking = QTimer(self, singleShot=True, interval=LOOK_AFTER_MS)
        self._looking.timeout.connect(self._look_around)
        # Qt: a queued connection carries the result from the copier's thread to the window's (6.11).
        self._arrived.connect(self._take, Qt.ConnectionType.QueuedConnection)

    def watch(self, store: Store) -> None:
        """The store is open: say what copies there are, and look at what is free from now on."""
        if self._closed:
            return
        self._store = store
        self.look()
        self._looking.start()
        self._telling.start()

    def note_change(self, change: Change) -> None:
        """Something was entered: a copy follows half an hour later, or at once where a step was signed."""
        job = change.view.job
        before, self._states[job.job_id] = self._states.get(job.job_id), job.state
        stepped = before is not None and before != job.state and job.state != "being_tested"
        if stepped:
            self.copy()
        elif change.saved_at_text and not self._due.isActive():
            self._due.start()

    def look(self) -> None:
        """Say what copies there are."""
        self._run(lambda keeper: keeper.view(), self.made.emit)

    def copy(self, done: Callable[[CopiesView], None] | None = None) -> None:
        """Make a copy where something was entered since the last one; `done` follows it."""
        if self._store is None or self._store.read_only:
            return
        self._due.stop()
        self.working.emit(True)

        def arrive(view: CopiesView) -> None:
            self.working.emit(False)
            self._tell_copied(view)
            if done is not None:
                done(view)

        self._run(lambda keeper: keeper.make_due(), arrive)

    def copy_first(self, then: Callable[[], None]) -> None:
        """Do something of which a copy has to lie before; it is done where none could be made, too."""
        if self._store is None or self._store.read_only:
            then()
        else:
            self.copy(lambda _view: then())

    def do(
        self,
        act: Callable[[CopyKeeper], Any],
        *,
        done: Callable[[Any], None],
        failed: Callable[[str], None] | None = None,
    ) -> None:
        """Do something else with the copies on the same thread, such as bringing one back."""
        self._run(act, done, failed)

    def close(self) -> None:
        """The store is closed: make a last copy where one is due, and end the thread."""
        self._closed = True
        self._due.stop()
        self._looking.stop()
        self._telling.stop()
        if self._store is not None and not self._store.read_only:
            self._pool.submit(self._keeper().make_due)
        self._store = None
        # Qt: results still on their way would find a window that is gone (6.11).
        self._arrived.disconnect()
        self._pool.shutdown(wait=True)

    def _keeper(self) -> CopyKeeper:
        from app.desk.copies import CopyKeeper

        return CopyKeeper(self._settings)

    def _look_around(self) -> None:
        """What is free on the disk, and whether a device came that lacks a copy."""
        store = self._store
        if store is None or store.read_only:
            return

        def look(keeper: CopyKeeper) -> tuple[str, CopiesView | None]:
            store.guard_space()
            return store.space_words(), self._caught_up(keeper)

        self._run(look, self._tell_around)

    def _caught_up(self, keeper: CopyKeeper) -> CopiesView | None:
        """A copy where the last run left none, or where a device was connected since the last look."""
        before, self._away_there = self._away_there, keeper.away_there()
        if before is None:
            return keeper.make_due() if keeper.due() else None
        return keeper.catch_up() if self._away_there and not before else None

    def _tell_around(self, found: tuple[str, CopiesView | None]) -> None:
        words, copied = found
        if copied is not None:
            self._tell_copied(copied)
        self._tell_space(words)

    def _tell_copied(self, view: CopiesView) -> None:
        self.made.emit(view)
        if view.trouble_text:
            self.said.emit(view.trouble_text)

    def _tell_space(self, words: str) -> None:
        if words and words != self._space_words:
            self.said.emit(words)
        self._space_words = words
        if self._store is not None:
            self._looking.start(LOOK_EVERY_MS)

    def _run(
        self,
        act: Callable[[CopyKeeper], Any],
        done: Callable[[Any], None],
        failed: Callable[[str], None] | None = None,
    ) -> None:
        if self._closed:
            return
        future = self._pool.submit(lambda: act(self._keeper()))
        future.add_done_callback(
            lambda finished: self._arrived.emit(finished, done, failed or self.said.emit)
        )

    def _take(
        self, finished: Future[Any], done: Callable[[Any], None], failed: Callable[[str], None]
    ) -> None:
        problem = finished.exception()
        if problem is None:
            done(finished.result())
            return
        from app.ui.shell.session import sentence_of

        sentence = sentence_of(problem)
        if sentence is None:
            raise problem
        failed(sentence)
