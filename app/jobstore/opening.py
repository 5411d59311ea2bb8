"""How a store is opened, what it says after an unexpected stop, and what after an error of the disk."""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path
from typing import Final

from sqlalchemy import Connection, desc, func, select

from app.jobstore import lock, tables
from app.jobstore.answers import Damaged, DiskFull, StoreProblem
from app.jobstore.clock import local_clock, wall_clock
from app.jobstore.engine import is_damage, is_full, take_back
from app.jobstore.rows import part_of
from ctcore.job import METHOD_ROW

_IN_USE: Final = "This store is already open in another window"
_LOOKS: Final = 5
_LAST: Final = select(tables.reading).order_by(desc(tables.reading.c.reading_no)).limit(1)


def take_place(path: Path, *, read_only: bool) -> tuple[lock.Lock | None, str | None]:
    """The lock, or why there is none."""
    if read_only:
        return None, "This store was opened for reading only."
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists() and not os.access(path, os.W_OK):
            return None, f"The file {path.name} may not be written to."
        taken = lock.take(path)
    except OSError as problem:
        if not path.exists():
            raise StoreProblem(
                f"Nothing was changed. A store cannot be made at {path} ({problem.strerror}): "
                "choose a folder that you may write to."
            ) from problem
        return None, f"The folder of {path.name} may not be written to."
    if isinstance(taken, lock.Lock):
        return taken, None
    since = f" since {local_clock(taken.since_utc)}" if taken.since_utc else ""
    return None, f"{_IN_USE}{since}. Close that window to write here."


def in_use(reason: str | None) -> bool:
    """Whether a store is opened for reading only because another window writes it."""
    return reason is not None and reason.startswith(_IN_USE)


def private_copy(path: Path) -> tempfile.TemporaryDirectory[str]:
    """A copy of a store that was left unfinished, with the unfinished entry taken back in the copy alone.

    The store itself stays as it is to the byte. Raises StoreProblem where it keeps changing.
    """
    folder = tempfile.TemporaryDirectory(prefix="coreleaf-")
    copy, journal = Path(folder.name) / path.name, path.with_name(path.name + "-journal")
    try:
        for _ in range(_LOOKS):
            before = _stamps(path, journal)
            shutil.copyfile(path, copy)
            if journal.exists():
                shutil.copyfile(journal, copy.with_name(journal.name))
            if _stamps(path, journal) == before:
                take_back(copy)
                return folder
    except OSError as problem:
        failure = f" ({problem.strerror or problem})"
    else:
        failure = " (it is being written)"
    folder.cleanup()
    raise StoreProblem(
        f"The file {path.name} was left exactly as it was. It can't be read at the moment{failure}: "
        "try again."
    )


def _stamps(*paths: Path) -> list[tuple[int, int]]:
    found = [path.stat() for path in paths if path.exists()]
    return [(about.st_size, about.st_mtime_ns) for about in found]


def hot_journal(store: Path) -> bool:
    """Whether an unfinished transaction lies beside the store."""
    journal = store.with_name(store.name + "-journal")
    try:
        return journal.stat().st_size > 0
    except FileNotFoundError:
        return False


def drop_spent_journal(store: Path) -> None:
    """Take away the empty journal of a closed store, so that one plain file is left."""
    if not hot_journal(store):
        store.with_name(store.name + "-journal").unlink(missing_ok=True)


def safe_words(connection: Connection) -> str:
    """What was found safe in the store when it was read again."""
    count = connection.execute(select(func.count()).select_from(tables.reading)).scalar_one()
    row = connection.execute(_LAST).mappings().one_or_none()
    if row is None:
        return "The store was opened and read again: everything saved before is safe."
    noun = "reading is" if count == 1 else "readings are"
    time = wall_clock(row["at_utc"], row["utc_offset_minutes"])
    return f"Your {count} {noun} saved, the last one of {time}."


def unreadable(path: Path, error: object, failed: str) -> StoreProblem:
    """What is said where the store could not even be read again."""
    return StoreProblem(
        f"What was saved before is still in the file {path.name}, but it can't be read at the moment. "
        f"{_failure(path, error, failed)} "
        "Check that the disk is connected and has free space, then try again."
    )


def trouble(path: Path, error: BaseException | None, *, failed: str, safe: str) -> StoreProblem:
    """What is said after an error of the disk: what is safe, what failed, what to do."""
    failure = _failure(path, error, failed)
    if is_damage(error):
        return Damaged(f"{safe} {failure} Put back your newest copy.")
    kind = DiskFull if is_full(error) else StoreProblem
    return kind(f"{safe} {failure} Free some disk space and try again.")


def saved_all_the_same(safe: str, error: object) -> str:
    """What is said where the disk reported an error, and the entry was found in the store all the same."""
    return (
        f"{safe} The last entry is among them: it was found when the store was opened and read again. "
        f"But the disk reported an error ({error}): make a copy on another disk now."
    )


def _failure(path: Path, error: object, failed: str) -> str:
    if isinstance(error, BaseException) and is_damage(error):
        return f"{failed}: a piece of the file {path.name} can't be read ({error})."
    return f"{failed}: the disk reported an error ({error})."


def restored_note(connection: Connection, *, taken_back: bool) -> str:
    """What was restored, and the last saved reading with place and time, in one sentence."""
    start = "Restored after an unexpected stop"
    if taken_back:
        start += ", an entry that had not finished saving was taken back"
    row = connection.execute(_LAST).mappings().one_or_none()
    if row is None:
        return f"{start}; no reading had been saved yet."
    typed = f"“{row['as_typed_text']}”" if row["as_typed_text"] else "struck or withdrawn"
    place = place_words(connection, row["job_id"], core_id=row["core_id"])
    where = [*place, row["procedure_id"]]
    if row["row"] != METHOD_ROW:
        where.append(f"row {row['row']}")
    time = wall_clock(row["at_utc"], row["utc_offset_minutes"])
    return f"{start}; the last saved reading is {typed} ({', '.join(where)}), saved {time}."


def place_words(connection: Connection, job_id: str, *, core_id: str) -> list[str]:
    """Job, position, phase and core of a reading, as many of them as are known."""
    number_text = connection.execute(
        select(tables.job.c.number_text).where(tables.job.c.job_id == job_id)
    ).scalar_one()
    words = [f"job {number_text}"]
    rows = connection.execute(
        select(tables.part).where(tables.part.c.job_id == job_id, tables.part.c.kind.in_(("position", "ct")))
    ).mappings()
    parts = [part_of(row) for row in rows]
    names = {part.body["position_id"]: part.body["name_text"] for part in parts if part.kind == "position"}
    for part in parts:
        for core in part.body.get("cores", ()) if part.kind == "ct" else ():
            if core["core_id"] == core_id:
                words += [names.get(part.body["position_id"], ""), part.body["phase_text"]]
                words.append(f"core {core['number']}")
    return [word for word in words if word]
