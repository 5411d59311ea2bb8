"""Copies of the store in another folder: read again before they count, thinned without losing a record.

A copy counts once it bears its name. Files attached to jobs lie once for all copies of a folder. Copies are
ordered by their number, since the clock of a computer may jump.
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
from collections.abc import Callable, Mapping, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from app import progress
from app.jobstore import attachments
from app.jobstore.answers import StoreProblem
from app.jobstore.engine import UNREADABLE, raw_connection
from app.jobstore.store import Store
from app.record.files import make_folder, sync_folder

# Practice: so many newest, and the last of so many days, weeks and months (common practice, no source).
NEWEST_COUNT: Final = 10
DAYS_COUNT: Final = 14
WEEKS_COUNT: Final = 8
MONTHS_COUNT: Final = 24

# Format: number, day and time in UTC. What has not been read again, or did not pass, ends otherwise.
_NAME: Final = re.compile(r"(\d{6})_(\d{4}-\d\d-\d\dT\d{6}Z)\.sqlite")
_UNCHECKED: Final = ".unchecked"
_SPOILED: Final = ".unreadable"
_FILES: Final = "files"
# So much is left free on the disk that a copy goes to.
_SPARE_BYTES: Final = 100_000_000

Check = Callable[[Store], Sequence[str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """A copy that was read again and found whole when it was made."""

    path: Path
    number: int
    made_at: datetime


def copies_in(folder: Path) -> list[Copy]:
    """The copies that count, the oldest first; none where there is no such folder."""
    found = []
    for path in folder.glob("*.sqlite"):
        match = _NAME.fullmatch(path.name)
        if match is not None:
            made_at = datetime.strptime(f"{match[2]}+0000", "%Y-%m-%dT%H%M%SZ%z")
            found.append(Copy(path=path, number=int(match[1]), made_at=made_at))
    return sorted(found, key=lambda one: one.number)


def make_copy(store: Path, folder: Path, *, at: datetime, check: Check = Store.faults) -> Copy:
    """Copy the store, read the copy again with `check`, and only then let it count.

    The store may be written meanwhile: the copy is one moment of it. Raises StoreProblem with no copy made.
    """
    before = copies_in(folder)
    number = before[-1].number + 1 if before else 1
    name = f"{number:06d}_{at:%Y-%m-%dT%H%M%SZ}.sqlite"
    # A name of its own: another program that copies here must not write what this one counts.
    partial = folder / f"{name}.{secrets.token_hex(4)}{_UNCHECKED}"
    try:
        make_folder(folder)
        _clear(folder)
        _demand_room(store, folder)
        _vacuum(store, partial)
        _bring_files(store, partial, folder)
        faults = _faults(store, partial, folder, check)
        if faults and _mend_files(store, partial, folder):
            faults = _faults(store, partial, folder, check)
        if not faults:
            partial.replace(folder / name)
            sync_folder(folder)
    except (OSError, *UNREADABLE) as problem:
        reason = getattr(problem, "strerror", None) or problem
        raise _not_made(folder, f"it could not be written ({reason})") from problem
    finally:
        _drop(partial)
    if faults:
        raise _not_made(folder, f"when it was read again, this was found: {faults[0]}")
    return Copy(path=folder / name, number=number, made_at=at.replace(microsecond=0))


def open_copy(path: Path) -> Store:
    """A copy for looking at; nothing is written to it. Raises StoreProblem where it cannot be read."""
    return Store.open(path, read_only=True, files_of=files_of(path))


def files_of(path: Path) -> Path:
    """The path beside which the attached files of a copy, or of a store, lie."""
    pool = path.parent / _FILES
    return pool if _NAME.fullmatch(path.name) and attachments.folder_of(pool).is_dir() else path


def thin(folder: Path) -> list[Path]:
    """Take away the copies that are too many; one that cannot be read is set aside, and counts no more."""
    records: dict[Copy, frozenset[str]] = {}
    for copy in copies_in(folder):
        try:
            records[copy] = _records(copy.path)
        except UNREADABLE:
            copy.path.replace(copy.path.with_name(copy.path.name + _SPOILED))
    gone = superfluous(list(records), records)
    for copy in gone:
        copy.path.unlink()
    if gone:
        sync_folder(folder)
    return [copy.path for copy in gone]


def superfluous(copies: Sequence[Copy], records: Mapping[Copy, frozenset[str]]) -> list[Copy]:
    """Those of the copies, oldest first, that may go: never the only one that holds a frozen record."""
    kept = set(copies[-NEWEST_COUNT:])
    for count, period in ((DAYS_COUNT, "%Y-%m-%d"), (WEEKS_COUNT, "%G-%V"), (MONTHS_COUNT, "%Y-%m")):
        lasts = {format(copy.made_at, period): copy for copy in copies}
        kept |= set(sorted(lasts.values(), key=lambda one: one.number)[-count:])
    held = frozenset[str]().union(*(records[copy] for copy in kept))
    for copy in reversed(copies):
        if copy not in kept and records[copy] - held:
            kept.add(copy)
            held |= records[copy]
    return [copy for copy in copies if copy not in kept]


def _vacuum(store: Path, partial: Path) -> None:
    with closing(raw_connection(store, read_only=True)) as raw:
        raw.execute("VACUUM INTO ?", (str(partial),))
    descriptor = os.open(partial, os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _bring_files(store: Path, partial: Path, folder: Path) -> None:
    """Put the attached files that the copy names into the folder, those that are not there yet."""
    bring_files(store, folder / _FILES, _named_in(partial))


def _named_in(partial: Path) -> list[tuple[str, str]]:
    with closing(raw_connection(partial, read_only=True)) as raw:
        return raw.execute("SELECT DISTINCT digest, name_text FROM attachment").fetchall()


def _mend_files(store: Path, partial: Path, folder: Path) -> bool:
    """Put attached files that rotted among the copies there again; whether there were any."""
    mended = False
    for digest_hex, name_text in _named_in(partial):
        try:
            attachments.get(folder / _FILES, digest_hex, name_text=name_text)
        except StoreProblem:
            # What is no longer whole beside the store either stays as it is, and the check says so.
            with suppress(StoreProblem):
                attachments.put(folder / _FILES, attachments.get(store, digest_hex, name_text=name_text))
                mended = True
    return mended


def bring_files(source: Path, target: Path, names: Sequence[tuple[str, str]]) -> None:
    """Put attached files, by digest and name, from beside one store beside another."""
    for digest_hex, name_text in progress.each(names, "file"):
        if not attachments.path_of(target, digest_hex).exists():
            attachments.put(target, attachments.get(source, digest_hex, name_text=name_text))


def _faults(store: Path, partial: Path, folder: Path, check: Check) -> Sequence[str]:
    """What the copy is found to be when it is read again."""
    copy = Store.open(partial, read_only=True, files_of=folder / _FILES)
    try:
        found = list(check(copy))
        heads = [(head.device_id, head.n, head.head) for head in copy.heads()]
    finally:
        copy.close()
    with closing(raw_connection(store, read_only=True)) as raw:
        known = raw.execute("SELECT device_id, n, head FROM event").fetchall()
    if not set(heads) <= set(known):
        found.append("its trail does not end where the trail of the store does.")
    return found


def _records(path: Path) -> frozenset[str]:
    """The digests of the frozen records that a copy holds; sqlite3.Error where it cannot be read."""
    with closing(raw_connection(path, read_only=True)) as raw:
        return frozenset(row[0] for row in raw.execute("SELECT digest FROM revision"))


def _demand_room(store: Path, folder: Path) -> None:
    free_bytes = shutil.disk_usage(folder).free
    if free_bytes < store.stat().st_size + _SPARE_BYTES:
        raise _not_made(folder, f"its disk has only {free_bytes // 1_000_000} MB free")


def _clear(folder: Path) -> None:
    """Take away what a copy that was broken off has left."""
    for left in folder.glob(f"*{_UNCHECKED}*"):
        left.unlink()


def _drop(partial: Path) -> None:
    for path in (partial, partial.with_name(partial.name + "-journal")):
        path.unlink(missing_ok=True)


def _not_made(folder: Path, why: str) -> StoreProblem:
    return StoreProblem(
        f"Everything saved is in the store. No copy was made in {folder}, because {why.rstrip('.')}. "
        "Earlier copies count as before."
    )


def heads_of(path: Path) -> dict[str, tuple[int, str]]:
    """Where the trail of each device ends in a store or a copy, without opening it for work.

    Raises StoreProblem where it cannot be read.
    """
    words = "SELECT device_id, max(n), head FROM event GROUP BY device_id"
    try:
        with closing(raw_connection(path, read_only=True)) as raw:
            return {device_id: (n, head) for device_id, n, head in raw.execute(words)}
    except UNREADABLE as problem:
        raise StoreProblem(f"Nothing was changed. {path.name} can't be read ({problem}).") from problem


def device_of(path: Path) -> str:
    """The device that a store belongs to; empty where it cannot be read."""
    try:
        with closing(raw_connection(path, read_only=True)) as raw:
            row = raw.execute("SELECT value FROM meta WHERE name = 'device_id'").fetchone()
    except UNREADABLE:
        return ""
    return str(row[0]) if row else ""


def restore(copy: Path, target: Path, *, check: Check = Store.faults) -> None:
    """Bring a copy back as a store of its own, with its files, and read it again with `check`.

    Nothing that is there is written over. Raises StoreProblem with nothing made.
    """
    if target.exists():
        raise StoreProblem(f"Nothing was changed: {target.name} is there already. Choose another name.")
    partial, attached = target.with_name(target.name + _UNCHECKED), attachments.folder_of(target)
    was_there = attached.exists()
    try:
        opened = open_copy(copy)
        try:
            named = [one for line in opened.jobs() for one in opened.attachments(line.job_id)]
        finally:
            opened.close()
        bring_files(files_of(copy), target, [(one.digest, one.name_text) for one in named])
        _vacuum(copy, partial)
        restored = Store.open(partial, read_only=True, files_of=target)
        try:
            faults = check(restored)
        finally:
            restored.close()
        if not faults:
            partial.rename(target)
            sync_folder(target.parent)
    except (OSError, *UNREADABLE) as problem:
        reason = getattr(problem, "strerror", None) or problem
        raise StoreProblem(
            f"Your store and its copies are as they were. {copy.name} was not brought back: {reason}."
        ) from problem
    finally:
        _drop(partial)
        if not (target.exists() or was_there):
            shutil.rmtree(attached, ignore_errors=True)
    if faults:
        raise StoreProblem(
            f"Your store and its copies are as they were. {copy.name} was not brought back, because it is "
            f"not what it was: {faults[0]} Take an earlier copy."
        )
