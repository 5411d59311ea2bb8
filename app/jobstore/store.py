"""The store of jobs: one SQLite file, one writer, every change with its event in one transaction."""

from __future__ import annotations

import errno
import tempfile
import threading
import uuid
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TypeVar

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError, IntegrityError, NoResultFound

from app.jobstore import asking, attachments, checking, lock, migrate, opening, space
from app.jobstore.answers import (
    Attachment,
    Damaged,
    DiskFull,
    JobLine,
    Receipt,
    StoredFindings,
    StoredRevision,
    StoreProblem,
)
from app.jobstore.engine import BEGIN_OPTION, UNREADABLE, open_engine
from app.jobstore.parts import Part, parts_of
from app.jobstore.writing import Entry, enter, put_findings, settle_device
from app.record.act import Act, ChainHead, Event
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.job import Job, JobState, Reading

T = TypeVar("T")

# Assumption: what the store wrote itself can always be read back, so these mean that the file was changed.
_DAMAGED = (BadInput, KeyError, TypeError, NoResultFound, UnicodeDecodeError)


class Store:
    """A store that is open. Any one thread at a time may call it; calls wait for each other."""

    def __init__(
        self,
        path: Path,
        *,
        engine: Engine,
        held: lock.Lock | None,
        read_only_reason: str | None,
        files_of: Path | None = None,
        private: tempfile.TemporaryDirectory[str] | None = None,
    ) -> None:
        self.path = path
        self._files_of = files_of or path
        self._private = private
        self.device_id = ""
        self.read_only_reason = read_only_reason
        self.opening_note: str | None = None
        self._engine: Engine | None = engine
        self._held = held
        self._turn = threading.RLock()
        self._guards_space = False
        self._note_text = ""

    @classmethod
    def open(
        cls,
        path: Path,
        *,
        device_id: str | None = None,
        read_only: bool = False,
        files_of: Path | None = None,
        before_upgrade: Callable[[], None] | None = None,
    ) -> Store:
        """Open the store at `path`, or make it; a store that another window holds opens for reading only.

        `files_of` is the path beside which the attached files lie, where that is another. `before_upgrade`
        makes a copy before a store of an older form is brought up, and raises where none could be made; one
        that may only be read is brought up in a copy of its own. Raises StoreProblem for a file that is no
        store, one of a newer program, or an unsafe SQLite.
        """
        held, reason = opening.take_place(path, read_only=read_only)
        private = None
        try:
            taken_back = opening.hot_journal(path)
            if held is None and not opening.in_use(reason) and (taken_back or migrate.is_older(path)):
                private = opening.private_copy(path)
            file = Path(private.name) / path.name if private is not None else path
            migrate.bring_up(file, read_only=held is None and private is None, keep=before_upgrade)
            store = cls(
                path,
                engine=_open_engine(file, reason),
                held=held,
                read_only_reason=reason,
                files_of=files_of,
                private=private,
            )
        except BaseException:
            if private is not None:
                private.cleanup()
            if held is not None:
                held.abandon() if held.left_behind else held.release()
            raise
        try:
            store._begin_session(device_id, taken_back=taken_back)
        except BaseException:
            store._let_go(clean=False)
            raise
        return store

    @property
    def _file(self) -> Path:
        """What SQLite opens: the store, or a copy of one that was left unfinished and may only be read."""
        return self.path if self._private is None else Path(self._private.name) / self.path.name

    @property
    def read_only(self) -> bool:
        """Whether this window may only read."""
        return self.read_only_reason is not None

    def close(self) -> None:
        """Close the store and leave the mark of a clean end; closing twice is harmless."""
        with self._turn:
            self._let_go(clean=True)

    # Room on the disk

    def guard_space(self) -> None:
        """Hold a reserve beside the store from now on, and take no new job where the disk is full."""
        self._guards_space = True
        if not self.read_only:
            space.hold_reserve(self.path)

    def space_words(self) -> str:
        """What there is to say about the room on the disk; the reserve is made again where there is room."""
        if self.read_only or not self._guards_space:
            return ""
        try:
            return space.words(self.path)
        except OSError:
            return ""

    def take_note(self) -> str:
        """What the store has to say about its last writing, once; empty where all went well."""
        note, self._note_text = self._note_text, ""
        return note

    # Reading

    def jobs(self) -> list[JobLine]:
        """A line per job, the one changed last first."""
        return self._ask(asking.jobs)

    def load(self, job_id: str) -> Job:
        """The job with all its readings; raises StoreProblem where there is no such job."""
        return self._ask(lambda connection: asking.load(connection, job_id))

    def findings(self, job_id: str) -> dict[str, StoredFindings]:
        """The stored findings by core."""
        return self._ask(lambda connection: asking.findings(connection, job_id))

    def revisions(self, job_id: str) -> list[StoredRevision]:
        """The frozen records of a job, oldest first."""
        return self._ask(lambda connection: asking.revisions(connection, job_id))

    def jobs_with(self, media_type: str) -> frozenset[str]:
        """The jobs to which a file of that kind is attached."""
        return self._ask(lambda connection: asking.jobs_with(connection, media_type))

    def events(self, job_id: str | None = None) -> list[Event]:
        """The events of a job, or of every chain, by device and number."""
        return self._ask(lambda connection: asking.events(connection, job_id))

    def heads(self) -> list[ChainHead]:
        """Where the chain of each device stands."""
        return self._ask(asking.heads)

    def head_at(self, device_id: str, n: int) -> str | None:
        """The head of a device's chain after its event n; None where there is no such event."""
        return self._ask(lambda connection: asking.head_at(connection, device_id, n))

    def attachments(self, job_id: str) -> list[Attachment]:
        """The files attached to a job, oldest first."""
        return self._ask(lambda connection: asking.attachments(connection, job_id))

    def attachment_bytes(self, attachment: Attachment) -> bytes:
        """The bytes of an attached file; raises StoreProblem where they are gone or changed."""
        return attachments.get(self._files_of, attachment.digest, name_text=attachment.name_text)

    def faults(self) -> list[str]:
        """A sentence for everything in the store that is not what its events say; none where it is whole."""
        try:
            found = self._ask(checking.faults)
            attached = [entry for line in self.jobs() for entry in self.attachments(line.job_id)]
        except StoreProblem as problem:
            return [problem.sentence]
        for attachment in attached:
            try:
                self.attachment_bytes(attachment)
            except StoreProblem as problem:
                found.append(problem.sentence)
        return found

    # Writing

    def create(self, job: Job, act: Act, *, record: tuple[int, bytes] | None = None) -> Receipt:
        """Take a new job in, with whatever readings it brings, and a frozen revision where one came along."""
        if self._guards_space and space.look(self.path).full:
            raise DiskFull(space.NO_NEW_JOB)
        entry = Entry(
            readings=job.readings, parts=parts_of(job), state=job.state, record=record, new_job=True
        )
        return self._enter(job.job_id, act, entry)

    def append(
        self,
        job_id: str,
        act: Act,
        *,
        readings: Sequence[Reading] = (),
        parts: Sequence[Part] = (),
        removed_parts: Sequence[str] = (),
        state: JobState | None = None,
        record: tuple[int, bytes] | None = None,
    ) -> Receipt:
        """Add readings and parts with their event in one transaction; it is on the disk when this returns.

        Readings without device or sequence get them here. Raises StoreProblem, with nothing changed.
        """
        entry = Entry(readings=readings, parts=parts, removed_parts=removed_parts, state=state, record=record)
        return self._enter(job_id, act, entry)

    def freeze(
        self, job_id: str, record_bytes: bytes, act: Act, *, revision: int, state: JobState
    ) -> Receipt:
        """Keep the canonical bytes of a frozen revision, which can never be changed again."""
        return self._enter(job_id, act, Entry(record=(revision, record_bytes), state=state))

    def add_attachment(
        self,
        job_id: str,
        data: bytes,
        *,
        name_text: str,
        media_type: str,
        core_id: str,
        procedure_id: str,
        act: Act,
        parts: Sequence[Part] = (),
        removed_parts: Sequence[str] = (),
        readings: Sequence[Reading] = (),
        state: JobState | None = None,
    ) -> Attachment:
        """Keep a file beside the store, pinned to a core or a step; the file is whole before its event.

        What comes with it, such as parts of the job that name it, is changed in the same transaction.
        """
        self._demand_writable()
        digest_hex = self._put_file(data, name_text)
        attachment = Attachment(
            attachment_id=str(uuid.uuid4()),
            digest=digest_hex,
            name_text=name_text,
            media_type=media_type,
            size_bytes_count=len(data),
            core_id=core_id,
            procedure_id=procedure_id,
        )
        entry = Entry(
            attachment=attachment, parts=parts, removed_parts=removed_parts, readings=readings, state=state
        )
        self._enter(job_id, act, entry)
        return attachment

    def save_findings(
        self, job_id: str, core_id: str, findings: Sequence[Finding], *, input_digest: str, rules_version: str
    ) -> None:
        """Put the findings of a core in place of those stored before; they are no part of the trail."""
        self.save_many_findings(job_id, [(core_id, findings, input_digest)], rules_version=rules_version)

    def save_many_findings(
        self, job_id: str, judged: Sequence[tuple[str, Sequence[Finding], str]], *, rules_version: str
    ) -> None:
        """As `save_findings` for many cores in one transaction: core, findings, digest of their input."""
        self._write(
            lambda connection: put_findings(connection, job_id, judged=judged, rules_version=rules_version)
        )

    # Plumbing

    def _put_file(self, data: bytes, name_text: str) -> str:
        """Write a file beside the store, on a full disk with the reserve given up for it."""
        try:
            return attachments.put(self._files_of, data)
        except OSError as problem:
            failure = problem
        if failure.errno == errno.ENOSPC and space.give_up_reserve(self.path):
            try:
                return attachments.put(self._files_of, data)
            except OSError as problem:
                failure = problem
        raise StoreProblem(
            f"Your readings are saved. The file {name_text} was not attached, because it could not be "
            f"written beside the store ({failure.strerror or failure}): free disk space and try again."
        ) from failure

    def _enter(self, job_id: str, act: Act, entry: Entry) -> Receipt:
        made: list[Receipt] = []

        def work(connection: Connection) -> Receipt:
            made.append(enter(connection, device_id=self.device_id, job_id=job_id, act=act, entry=entry))
            return made[-1]

        def found(connection: Connection) -> Receipt | None:
            event = made[-1].event if made else None
            there = event and asking.head_at(connection, event.device_id, event.n) == event.head
            return made[-1] if there else None

        return self._write(work, found)

    def _ask(self, question: Callable[[Connection], T]) -> T:
        with self._turn:
            try:
                with self._reading() as connection:
                    return question(connection)
            except DBAPIError as problem:
                raise self._after_error(problem, "That could not be read")[0] from problem
            except _DAMAGED as problem:
                raise Damaged(
                    f"Nothing was changed. A piece of the file {self.path.name} can't be read as it was "
                    f"saved ({problem}). Put back your newest copy."
                ) from problem

    def _write(
        self,
        work: Callable[[Connection], T],
        found: Callable[[Connection], T | None] = lambda _connection: None,
    ) -> T:
        """Do it in one transaction; on a full disk once more, with the reserve given up for it.

        After an error `found` says whether it is in the store all the same: it may come after the commit.
        """
        self._demand_writable()
        with self._turn:
            try:
                return self._transaction(work)
            except DBAPIError as problem:
                trouble, made = self._after_error(problem, "The last entry was not saved", found)
                if made is not None:
                    return made
                if not isinstance(trouble, DiskFull) or not space.give_up_reserve(self.path):
                    raise trouble from problem
            try:
                return self._transaction(work)
            except DBAPIError as problem:
                trouble, made = self._after_error(problem, "The last entry was not saved", found)
                if made is not None:
                    return made
                raise trouble from problem

    def _transaction(self, work: Callable[[Connection], T]) -> T:
        try:
            with self._open_one().connect() as connection, connection.begin():
                return work(connection)
        except IntegrityError as problem:
            raise StoreProblem(
                "Everything saved before is safe. This entry was not saved, because it contradicts what "
                f"is stored ({problem.orig}): nothing of it was kept."
            ) from problem

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with self._open_one().connect() as connection:
            yield connection.execution_options(**{BEGIN_OPTION: "BEGIN"})

    def _open_one(self) -> Engine:
        if self._engine is None:
            raise StoreProblem(f"Your readings are saved. {self.path.name} is closed: open it again.")
        return self._engine

    def _demand_writable(self) -> None:
        if self.read_only_reason is not None:
            raise StoreProblem(f"Your readings are saved. Nothing was changed. {self.read_only_reason}")

    def _begin_session(self, device_id: str | None, *, taken_back: bool) -> None:
        """Learn which device this is, and what there is to say about the end of the last run."""
        if self.read_only:
            self.device_id = self._ask(asking.device_id) or device_id or ""
            return
        self.device_id = self._write(lambda connection: settle_device(connection, device_id))
        if taken_back or (self._held is not None and self._held.left_behind is not None):
            try:
                self.opening_note = self._ask(
                    lambda connection: opening.restored_note(connection, taken_back=taken_back)
                )
            except StoreProblem as problem:
                self.opening_note = problem.sentence

    def _after_error(
        self,
        problem: DBAPIError,
        failed: str,
        found: Callable[[Connection], T | None] = lambda _connection: None,
    ) -> tuple[StoreProblem, T | None]:
        """Close, open and read again, so that what is said to be saved was seen to be there."""
        self._open_one().dispose()
        try:
            self._engine = _open_engine(self._file, self.read_only_reason)
            with self._reading() as connection:
                safe = opening.safe_words(connection)
                made = found(connection)
        except (StoreProblem, DBAPIError, *UNREADABLE, *_DAMAGED):
            return opening.unreadable(self.path, problem.orig, failed), None
        if made is not None:
            self._note_text = opening.saved_all_the_same(safe, problem.orig)
        return opening.trouble(self.path, problem.orig, failed=failed, safe=safe), made

    def _let_go(self, *, clean: bool) -> None:
        if self._engine is not None:
            self._engine.dispose()
            self._engine = None
        if self._private is not None:
            self._private.cleanup()
            self._private = None
        if self._held is not None:
            if clean:
                with suppress(OSError):
                    opening.drop_spent_journal(self.path)
                self._held.release()
            else:
                self._held.abandon()
            self._held = None


def _open_engine(path: Path, read_only_reason: str | None) -> Engine:
    return open_engine(path, read_only=read_only_reason is not None)
