"""The desk behind the window: the store, the job on the table, the way of every verb to the writer."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.log import Log
from app.settings import Settings, profile_folder
from app.ui.texts import text
from app.ui.writer import Writer
from app.words import retold

if TYPE_CHECKING:
    from app.desk import Change, Desk, View
    from app.jobstore import JobLine

STORE_NAME: Final = "store.sqlite"
SETTLE_AFTER_MS: Final = 1500
JUDGE_AFTER_MS: Final = 30

Verb = Callable[["Desk", str], "Change"]
Told = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class _Opened:
    desk: Desk
    lines: list[JobLine]
    notes: tuple[str, ...]
    change: Change | None


def sentence_of(problem: BaseException) -> str | None:
    """What a refusal says to the user, in the language of the screen; None for a fault of the program."""
    said = getattr(problem, "sentence", None)
    if isinstance(said, str):
        return retold(said)
    quantity, reason = getattr(problem, "quantity", None), getattr(problem, "reason", None)
    if isinstance(quantity, str) and isinstance(reason, str):
        return retold(f"{quantity[:1].upper()}{quantity[1:]}: {reason}.")
    if isinstance(problem, OSError):
        what = problem.filename or text("session.file")
        return text("session.os_error", what=what, reason=problem.strerror or str(problem))
    return None


class Session(QObject):
    """Owns the desk. Verbs run on the writer thread; what they return comes out of the signals here."""

    opened = Signal()
    listed = Signal(list)
    changed = Signal(object)
    closed = Signal()
    said = Signal(str)
    missing = Signal(str)
    broke = Signal(object)

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.settings = settings
        self.log = Log(settings.folder)
        self.writer = Writer(self, note=self.log.note)
        self.writer.failed.connect(self._tell_problem)
        self.desk: Desk | None = None
        self.view: View | None = None
        self.saved_at_text = ""
        self._opening = False
        self._waiting: list[Callable[[], None]] = []
        self._settling = QTimer(self, singleShot=True, interval=SETTLE_AFTER_MS)
        self._settling.timeout.connect(self._settle)
        self._judging = QTimer(self, singleShot=True, interval=JUDGE_AFTER_MS)
        self._judging.timeout.connect(self._judge_stale)

    # Opening

    def open_store(
        self, folder: Path, *, sample: str | None = None, anew: bool = False, note_text: str = ""
    ) -> None:
        """Open the store in `folder` and list its jobs; with `sample` take that sample in and open it.

        Where the store is gone and a copy of it is there, `missing` says so; `anew` begins an empty one.
        """
        self._opening = True
        self.writer.submit(_first_lines, folder / self.settings.store_path.name, done=self._take_first)
        self.writer.submit(
            lambda: _open(folder, self.settings, sample, anew=anew, note_text=note_text),
            done=self._take_opened,
            failed=self._tell_not_opened,
        )

    def _tell_not_opened(self, problem: BaseException) -> None:
        from app.jobstore import Missing

        self._opening = False
        self._waiting.clear()
        if isinstance(problem, Missing):
            self.missing.emit(problem.sentence)
        self._tell_problem(problem)

    def _take_first(self, lines: list[JobLine]) -> None:
        if lines and self.desk is None:
            self.listed.emit(lines)

    def _take_opened(self, found: _Opened) -> None:
        self._opening = False
        self.desk = found.desk
        self.opened.emit()
        self.listed.emit(found.lines)
        self.said.emit(" ".join(found.notes))
        if found.change is not None:
            self._take_change(found.change)
        waiting, self._waiting = self._waiting, []
        for ask in waiting:
            ask()

    @property
    def writes(self) -> bool:
        """Whether a store is open here for writing."""
        return self.desk is not None and not self.desk.store.read_only

    # The job on the table

    @property
    def job_id(self) -> str | None:
        """The job on the table."""
        return self.view.job.job_id if self.view is not None else None

    def open_job(self, job_id: str) -> None:
        """Put a job on the table; the one before is settled and put back."""

        def ask(desk: Desk) -> View:
            self._put_back(desk, job_id)
            return desk.open_job(job_id)

        self._run(ask, done=self._take_view)

    def refresh(self) -> None:
        """Take the job on the table from the desk once more, and show all of it."""
        job_id = self.job_id
        if job_id is not None:
            self._run(lambda desk: desk.view(job_id), done=self._take_view)
        elif self.desk is not None:
            self.list_jobs()

    def list_jobs(self) -> None:
        """Ask for the list of jobs, with every finding saved first."""
        job_id = self.job_id

        def ask(desk: Desk) -> list[JobLine]:
            if job_id is not None:
                desk.settle(job_id)
            return desk.jobs()

        self._run(ask, done=self.listed.emit)

    def start(self, verb: Callable[[Desk], Change], *, refused: Told | None = None, done: Any = None) -> None:
        """Run a verb that brings a job of its own: a new one, or one taken in."""

        def run(desk: Desk) -> Change:
            made = verb(desk)
            self._put_back(desk, made.view.job.job_id)
            return made

        self._run(run, done=lambda change: self._finish(change, done), refused=refused)

    def do(
        self, verb: Verb, *, refused: Told | None = None, done: Callable[[Change], None] | None = None
    ) -> None:
        """Run a verb on the job on the table; `refused` takes the sentence where it stands at a field."""
        job_id = self.job_id
        if job_id is None:
            self.said.emit(text("session.no_job"))
            return
        self._run(
            lambda desk: verb(desk, job_id), done=lambda change: self._finish(change, done), refused=refused
        )

    def fetch(
        self, ask: Callable[[Desk], Any], *, done: Callable[[Any], None], refused: Told | None = None
    ) -> None:
        """Run something that changes nothing, such as writing a sheet."""
        self._run(ask, done=done, refused=refused)

    def close(self) -> None:
        """Settle, close the store, and end the writer thread."""
        self._settling.stop()
        self._judging.stop()
        desk, job_id = self.desk, self.job_id
        self.desk = self.view = None
        if desk is not None:
            self.writer.submit(_close, desk, job_id)
        self.writer.close()
        self.log.note("stop")

    # Plumbing

    def _run(self, ask: Callable[[Desk], Any], *, done: Any, refused: Told | None = None) -> None:
        if self.desk is None:
            if self._opening:
                # The list is shown before the store is open: what is asked of it is done once it is.
                self._waiting.append(lambda: self._run(ask, done=done, refused=refused))
            else:
                self.said.emit(text("session.not_open"))
            return

        def failed(problem: BaseException) -> None:
            sentence = sentence_of(problem)
            if sentence is not None and refused is not None:
                refused(sentence)
            else:
                self._tell_problem(problem)

        self.writer.submit(ask, self.desk, done=done, failed=failed)

    def _finish(self, change: Change, done: Callable[[Change], None] | None) -> None:
        self._take_change(change)
        if done is not None:
            done(change)

    def _take_view(self, view: View) -> None:
        from app.desk import Change

        self._take_change(Change(view=view, outline_changed=True))

    def _take_change(self, change: Change) -> None:
        self.view = change.view
        if change.saved_at_text:
            self.saved_at_text = change.saved_at_text
        self.changed.emit(change)
        trouble = self.desk.store.take_note() if self.desk is not None else ""
        if trouble or change.note_text:
            self.said.emit(trouble or change.note_text)
        self._settling.start()
        if change.view.stale_core_ids:
            self._judging.start()

    def take(self, change: Change) -> None:
        """Let a change that a page brought about itself be shown everywhere, where its job is still here."""
        if change.view.job.job_id == self.job_id:
            self._take_change(change)

    def _put_back(self, desk: Desk, next_job_id: str) -> None:
        before = self.job_id
        if before is not None and before != next_job_id:
            desk.close_job(before)

    def _settle(self) -> None:
        job_id = self.job_id
        if self.desk is not None and job_id is not None:
            self.writer.submit(self.desk.settle, job_id)

    def _judge_stale(self) -> None:
        """Judge a few of the cores that changed, where nobody waits for the writer; the rest comes after."""
        desk, job_id = self.desk, self.job_id
        if desk is None or job_id is None:
            return
        if self.writer.busy:
            self._judging.start()
        else:
            self.writer.submit(desk.judge_stale, job_id, done=self._take_judged)

    def _take_judged(self, change: Change) -> None:
        if change.view.job.job_id == self.job_id:
            self._take_change(change)

    def _tell_problem(self, problem: BaseException) -> None:
        sentence = sentence_of(problem)
        if sentence is None:
            self.broke.emit(problem)
        else:
            self.said.emit(sentence)


def _first_lines(path: Path) -> list[JobLine]:
    from app.jobstore.first_look import lines

    return lines(path)


def _open(folder: Path, settings: Settings, sample: str | None, *, anew: bool, note_text: str) -> _Opened:
    # Qt: this import costs most of the start; it happens on the writer thread after the first paint.
    from app.desk import Desk, surroundings
    from app.desk.clock_watch import behind_words
    from app.desk.copies import CopyKeeper
    from app.desk.place import demand_there
    from app.desk.seen import Memory, not_as_seen
    from app.desk.store_gone import demand_store
    from app.jobstore import Damaged, Store

    demand_there(folder)
    folder.mkdir(parents=True, exist_ok=True)
    gone = "" if anew else demand_store(settings)
    try:
        store = Store.open(
            folder / settings.store_path.name, before_upgrade=CopyKeeper(settings).make_before_upgrade
        )
    except Damaged as problem:
        raise Damaged(_with_newest_copy(problem.sentence, settings)) from problem
    desk = Desk(store, settings)
    read_only = text("session.read_only", reason=store.read_only_reason) if store.read_only_reason else ""
    memory = Memory(profile_folder(settings.folder))
    older, seen = not_as_seen(store, memory), memory.head(store.device_id)
    behind = behind_words(seen.at_utc if seen else "", datetime.now().astimezone())
    said = (
        note_text,
        gone,
        older,
        behind,
        settings.note_text,
        store.opening_note,
        read_only,
        surroundings.warning(folder),
    )
    notes = tuple(note for note in said if note)
    change = take_sample(desk, sample) if sample else None
    return _Opened(desk, desk.jobs(), notes, change)


def _with_newest_copy(sentence: str, settings: Settings) -> str:
    """A store that cannot be read, with the newest copy of it that was checked."""
    from app.desk.copies import CopyKeeper

    newest = CopyKeeper(settings).newest()
    if newest is None:
        return sentence
    return text("session.newest_copy", sentence=sentence, when=newest.when_text)


def take_sample(desk: Desk, name: str) -> Change:
    """Take a sample job in, or open it where it is here already."""
    import tempfile

    import samples

    found = samples.sample(name)
    if (here := desk.opened_here(found.job_id)) is not None:
        return here
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / found.file_name
        path.write_bytes(found.file.read_bytes())
        return desk.import_job(path)


def _close(desk: Desk, job_id: str | None) -> None:
    try:
        if job_id is not None:
            desk.close_job(job_id)
        _remember(desk)
    finally:
        desk.store.close()


def _remember(desk: Desk) -> None:
    """Keep in the profile how far the store went, to notice an older one in its place."""
    from app.desk.seen import Memory

    if not desk.store.read_only:
        with suppress(OSError):
            Memory(profile_folder(desk.settings.folder)).keep_heads(desk.store.heads(), datetime.now(UTC))
