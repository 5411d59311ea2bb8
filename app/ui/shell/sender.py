"""Sending to the archive in a thread of its own: after issue, at the start, then every few minutes."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change, Desk
    from app.desk.archive.courier import Carried
    from app.desk.archive.sending import ArchiveLine, Round
    from app.ui.shell.session import Session

FIRST_AFTER_MS: Final = 3000
EVERY_MS: Final = 3 * 60_000
# Where the archive does not answer, each pause is twice the one before.
_PAUSES_MS: Final = (30_000, 60_000, 120_000, 240_000, 480_000, 900_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class SendingView:
    """Everything that was issued and where it stands; `trouble_text` says why nothing could be sent."""

    lines: tuple[ArchiveLine, ...] = ()
    place_text: str = ""
    trouble_text: str = ""
    tried_text: str = ""

    @property
    def words(self) -> str:
        """For the line at the foot: what waits, or that all is archived; empty where no archive is named."""
        if not self.place_text or not self.lines:
            return ""
        states = [line.state for line in self.lines]
        told = [
            text(f"sending.{state}_count", count=states.count(state))
            for state in ("waiting", "refused")
            if states.count(state)
        ]
        return ", ".join(told) or text("sending.all_archived")


@dataclass(frozen=True, slots=True)
class _Came:
    """What one round brought, or why it brought nothing."""

    round: Round
    carried: tuple[Carried, ...] = ()
    problem: Exception | None = None


class Sender(QObject):
    """Asks the writer what waits, carries it on a thread of its own, and has the writer note what came back.

    `told` follows where everything stands; `working` a round on its way. Nothing of it is ever modal.
    """

    told = Signal(object)
    working = Signal(bool)
    _arrived = Signal(object)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.view = SendingView()
        self._session = session
        self._closed = False
        self._busy = False
        self._passed = 0
        self._failed_count = 0
        self._states: dict[str, str] = {}
        self._due = QTimer(self, singleShot=True)
        self._due.timeout.connect(self.send)
        # Qt: a queued connection carries the result from the sender's thread to the window's (6.11).
        self._arrived.connect(self._take, Qt.ConnectionType.QueuedConnection)

    @property
    def busy(self) -> bool:
        """Whether a round is on its way."""
        return self._busy

    def watch(self) -> None:
        """The store is open: say where everything stands, and send from now on."""
        self.look()
        self._due.start(FIRST_AFTER_MS)

    def note_change(self, change: Change) -> None:
        """What was issued just now is sent at once."""
        job = change.view.job
        before, self._states[job.job_id] = self._states.get(job.job_id), job.state
        if job.state == "issued" and before not in (None, "issued"):
            self.look()
            self.send()

    def look(self) -> None:
        """Say where everything stands."""
        self._fetch(_standing, self._show)

    def send(self) -> None:
        """Carry what waits now; a round that is on its way is not disturbed."""
        if self._closed or self._busy or self._session.desk is None:
            return
        self._due.stop()
        self._set_busy(True)
        passed = self._passed
        self._fetch(lambda desk: desk.archive_round(passed), self._carry, self._fail)

    def close(self) -> None:
        """Send no more; a round on its way is not waited for, its work is done again another time."""
        self._closed = True
        self._due.stop()
        # Qt: results still on their way would find a window that is gone (6.11).
        self._arrived.disconnect()

    def _carry(self, carried: Round | None) -> None:
        if carried is None:
            self._finish("")
            return
        # A thread that the end of the program does not wait for: a dead line would hold it for a minute.
        threading.Thread(target=self._carry_apart, args=(carried,), name="sender", daemon=True).start()

    def _carry_apart(self, carried: Round) -> None:
        try:
            came = _Came(carried, tuple(carried.courier.carry(carried.parcels)))
        except Exception as problem:
            came = _Came(carried, problem=problem)
        if not self._closed:
            self._arrived.emit(came)

    def _take(self, came: _Came) -> None:
        problem = came.problem
        if problem is not None:
            from app.ui.shell.session import sentence_of

            sentence = sentence_of(problem)
            self._fail(sentence or text("sending.fault"))
            if sentence is None:
                self._session.broke.emit(problem)
            return
        pairs = list(zip(came.round.lines, came.carried, strict=True))
        still = sum(told.state != "archived" for _, told in pairs)
        # What got no answer is passed by next time, so that it holds up nobody behind it.
        self._passed = self._passed + still if still == len(pairs) else 0
        doubt_text = next((told.doubt_text for _, told in pairs if told.doubt_text), "")
        self._fetch(
            lambda desk: desk.note_carried(pairs), lambda _count: self._finish(doubt_text), self._fail
        )

    def _fail(self, sentence: str) -> None:
        self._failed_count += 1
        self._finish(sentence)

    def _finish(self, trouble_text: str) -> None:
        if not trouble_text:
            self._failed_count = 0
        pause = _PAUSES_MS[min(self._failed_count, len(_PAUSES_MS)) - 1] if trouble_text else EVERY_MS
        self._set_busy(False)
        self._due.start(pause)
        tried = datetime.now().astimezone().strftime("%H:%M")
        self.view = SendingView(place_text=self.view.place_text, lines=self.view.lines, tried_text=tried,
                                trouble_text=trouble_text)  # fmt: skip
        self.look()

    def _show(self, found: tuple[str, tuple[ArchiveLine, ...]]) -> None:
        place_text, lines = found
        self.view = SendingView(
            place_text=place_text,
            lines=lines,
            tried_text=self.view.tried_text,
            trouble_text=self.view.trouble_text if place_text else "",
        )
        self.told.emit(self.view)

    def _set_busy(self, busy: bool) -> None:
        self._busy = busy
        self.working.emit(busy)

    def _fetch(
        self,
        ask: Callable[[Desk], Any],
        done: Callable[[Any], None],
        refused: Callable[[str], None] = lambda _sentence: None,
    ) -> None:
        if not self._closed and self._session.desk is not None:
            self._session.fetch(ask, done=done, refused=refused)


def _standing(desk: Desk) -> tuple[str, tuple[ArchiveLine, ...]]:
    return desk.archive_place(), tuple(desk.archive_queue(all_of_them=True))
