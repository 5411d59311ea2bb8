from __future__ import annotations

import shutil
import sqlite3
from collections import namedtuple
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy.exc import DBAPIError

from app.jobstore import DiskFull, Store, space
from app.jobstore.store import Receipt
from app.record.act import Act
from ctcore.job import Job, Reading

MakeAct = Callable[..., Act]
MakeReading = Callable[..., Reading]
Usage = namedtuple("Usage", "total used free")


@pytest.fixture
def room(monkeypatch: pytest.MonkeyPatch) -> Callable[[int], None]:
    """Say how many megabytes are free."""

    def say(free_mb: int) -> None:
        monkeypatch.setattr(shutil, "disk_usage", lambda _path: Usage(10**12, 0, free_mb * 1_000_000))

    return say


def fill(store: Store) -> None:
    """From now on the file may not grow: SQLite says that the disk is full until it is opened again."""
    with store._open_one().connect() as connection:
        connection.exec_driver_sql("PRAGMA max_page_count=1")


def test_the_reserve_takes_its_room_and_is_made_once(filled: Store, path: Path) -> None:
    filled.guard_space()
    reserve = space.reserve_of(path)
    made_ns = reserve.stat().st_mtime_ns
    assert space.hold_reserve(path)
    about = reserve.stat()
    assert (about.st_size, about.st_mtime_ns) == (space.RESERVE_BYTES, made_ns)
    assert about.st_blocks * 512 >= space.RESERVE_BYTES


def test_on_a_full_disk_the_reserve_is_given_up_and_the_reading_is_saved(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading
) -> None:
    filled.guard_space()
    fill(filled)
    filled.append("j1", act(to="x" * 60_000), readings=[reading()])
    assert not space.reserve_of(path).exists()
    assert (len(filled.load("j1").readings), filled.faults()) == (1, [])


def test_on_a_full_disk_without_a_reserve_nothing_is_said_to_be_saved(
    filled: Store, act: MakeAct, reading: MakeReading
) -> None:
    filled.append("j1", act(), readings=[reading()])
    fill(filled)
    with pytest.raises(DiskFull, match=r"^Your 1 reading is saved.*not saved.*full.*Free some disk space"):
        filled.append("j1", act(to="x" * 60_000), readings=[reading()])
    assert (len(filled.load("j1").readings), filled.faults()) == (1, [])


def test_a_reserve_that_does_not_help_is_gone_and_the_entry_is_refused(
    filled: Store, path: Path, act: MakeAct, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled.guard_space()
    problem = sqlite3.OperationalError("database or disk is full")
    problem.sqlite_errorcode = sqlite3.SQLITE_FULL
    monkeypatch.setattr(filled, "_transaction", raises(DBAPIError("", {}, problem)))
    with pytest.raises(DiskFull):
        filled.append("j1", act())
    assert not space.reserve_of(path).exists()


def test_an_error_after_the_commit_is_told_and_the_entry_stays(
    filled: Store, act: MakeAct, reading: MakeReading, monkeypatch: pytest.MonkeyPatch
) -> None:
    transaction = filled._transaction

    def late(work: Callable[..., Receipt]) -> None:
        transaction(work)
        raise DBAPIError("", {}, sqlite3.OperationalError("disk I/O error"))

    monkeypatch.setattr(filled, "_transaction", late)
    receipt = filled.append("j1", act(), readings=[reading()])
    assert filled.load("j1").readings == receipt.readings
    note = filled.take_note()
    assert note.startswith("Your 1 reading is saved, the last one of 2031-05-04 10:42:07.")
    assert "the disk reported an error (disk I/O error): make a copy on another disk now" in note
    assert filled.take_note() == ""


def test_a_file_is_attached_with_the_room_of_the_reserve(
    filled: Store, path: Path, act: MakeAct, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled.guard_space()
    from app.jobstore import attachments

    write = attachments.write_whole

    def until_given_up(at: Path, data: bytes) -> None:
        demand_no_reserve(path)
        write(at, data)

    monkeypatch.setattr(attachments, "write_whole", until_given_up)
    made = filled.add_attachment(
        "j1", b"x", name_text="x.png", media_type="image/png", core_id="", procedure_id="", act=act()
    )
    assert filled.attachment_bytes(made) == b"x"


def test_no_new_job_is_begun_where_little_is_free(
    filled: Store, job: Job, act: MakeAct, reading: MakeReading, room: Callable[[int], None]
) -> None:
    filled.guard_space()
    room(99)
    with pytest.raises(DiskFull, match=r"^Everything saved is safe\. No new job was begun"):
        filled.create(job, act())
    filled.append("j1", act(), readings=[reading()])


@pytest.mark.parametrize(
    ("free_mb", "said"),
    [(99, "has 99 MB free: the jobs that are here can be"), (499, "has 499 MB free: free some"), (501, "")],
)
def test_low_room_is_told(filled: Store, room: Callable[[int], None], free_mb: int, said: str) -> None:
    filled.guard_space()
    room(free_mb)
    words = filled.space_words()
    assert words.startswith("Everything saved is safe." if said else "")
    assert said in words


def test_the_reserve_is_made_again_when_there_is_room(
    filled: Store, path: Path, room: Callable[[int], None]
) -> None:
    filled.guard_space()
    room(99)
    assert space.give_up_reserve(path)
    assert "the reserve is in use: you can finish, sign and give out" in filled.space_words()
    assert not space.give_up_reserve(path)
    room(600)
    assert filled.space_words() == ""
    assert space.reserve_of(path).exists()


def test_a_store_that_guards_nothing_or_may_only_be_read_says_nothing(
    filled: Store, path: Path, room: Callable[[int], None]
) -> None:
    room(1)
    assert filled.space_words() == ""
    second = Store.open(path)
    second.guard_space()
    assert (second.space_words(), space.reserve_of(path).exists()) == ("", False)
    second.close()


def test_a_disk_that_is_gone_has_no_words(filled: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    filled.guard_space()
    monkeypatch.setattr(space, "words", raises(FileNotFoundError()))
    assert filled.space_words() == ""


def test_a_reserve_that_cannot_be_written_leaves_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("os.fsync", raises(OSError(28, "No space left on device")))
    assert (space.hold_reserve(path), list(path.parent.iterdir())) == (False, [])


def demand_no_reserve(store: Path) -> None:
    if space.reserve_of(store).exists():
        raise OSError(28, "No space left on device")


def raises(problem: Exception) -> Callable[..., None]:
    def refuse(*_: object) -> None:
        raise problem

    return refuse
