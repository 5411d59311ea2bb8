"""What the store says when the last run did not end by itself."""

from __future__ import annotations

import itertools
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from app.jobstore import Store, StoreProblem, opening
from app.jobstore.opening import drop_spent_journal, hot_journal, safe_words
from app.record.act import Act
from ctcore.job import Job, Reading

MakeAct = Callable[..., Act]
MakeReading = Callable[..., Reading]

# Fills the cache so that pages of an unfinished transaction reach the file, then dies as kill -9 would.
DIE_HALFWAY = """
import os, signal, sys
from pathlib import Path
from app.jobstore import Store
store = Store.open(Path(sys.argv[1]))
with store._engine.connect() as connection:
    connection.exec_driver_sql("PRAGMA cache_size=1")
    connection.begin() if not connection.in_transaction() else None
    for number in range(int(sys.argv[2])):
        connection.exec_driver_sql("INSERT INTO meta VALUES (?, ?)", (f"half {number}", "x" * 5000))
    os.kill(os.getpid(), signal.SIGKILL)
"""


def die(path: Path, rows: int) -> None:
    root = Path(__file__).parents[3]
    subprocess.run(
        [sys.executable, "-c", DIE_HALFWAY, str(path), str(rows)], cwd=root, check=False, timeout=60
    )


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")
def test_after_a_stop_in_mid_entry_one_sentence_says_what_was_restored_and_what_was_saved_last(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading
) -> None:
    filled.append("j1", act(), readings=[reading("265.2")])
    filled.close()
    die(path, rows=200)
    assert hot_journal(path)
    with closing(Store.open(path)) as store:
        note, faults = store.opening_note, store.faults()
    assert faults == []
    assert note == (
        "Restored after an unexpected stop, an entry that had not finished saving was taken back; the "
        "last saved reading is “265.2” (job 1042, Bay 1, L1, core 1, excitation, row 7), "
        "saved 2031-05-04 10:42:07."
    )


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")
def test_after_a_stop_between_entries_the_last_saved_reading_is_named(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading
) -> None:
    filled.append("j1", act(), readings=[reading("50 Hz", row="method", quantity_id="frequency_hz")])
    filled.close()
    die(path, rows=0)
    with closing(Store.open(path)) as store:
        note = store.opening_note
    assert note == (
        "Restored after an unexpected stop; the last saved reading is “50 Hz” "
        "(job 1042, Bay 1, L1, core 1, excitation), saved 2031-05-04 10:42:07."
    )


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")
def test_a_stopped_store_opened_for_reading_only_can_be_read(filled: Store, path: Path, job: Job) -> None:
    filled.close()
    die(path, rows=200)
    with closing(Store.open(path, read_only=True)) as store:
        assert store.load("j1") == job


def test_an_abandoned_store_without_readings_says_that_there_were_none(path: Path) -> None:
    Store.open(path)._let_go(clean=False)
    with closing(Store.open(path)) as store:
        assert store.opening_note == "Restored after an unexpected stop; no reading had been saved yet."


def test_the_note_is_given_once(path: Path) -> None:
    Store.open(path)._let_go(clean=False)
    Store.open(path).close()
    with closing(Store.open(path)) as store:
        assert store.opening_note is None


def test_a_struck_reading_is_not_quoted(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading
) -> None:
    filled.append("j1", act(), readings=[reading("", value_text=None, struck=True, core_id="gone")])
    filled._let_go(clean=False)
    with closing(Store.open(path)) as store:
        assert "the last saved reading is struck or withdrawn (job 1042, excitation, row 7)" in str(
            store.opening_note
        )


def test_a_note_that_cannot_be_made_does_not_keep_the_store_shut(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading
) -> None:
    filled.append("j1", act(), readings=[reading()])
    filled._let_go(clean=False)
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("UPDATE part SET body = '{' WHERE kind = 'ct'")
        raw.commit()
    with closing(Store.open(path)) as store:
        assert "can't be read as it was saved" in str(store.opening_note)


def test_a_journal_with_something_in_it_is_not_taken_away(path: Path) -> None:
    journal = path.with_name(path.name + "-journal")
    journal.write_bytes(b"not yet taken back")
    drop_spent_journal(path)
    assert journal.exists()


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")
def test_a_stopped_store_that_may_only_be_read_stays_as_it_is_to_the_byte(
    filled: Store, path: Path, job: Job
) -> None:
    filled.close()
    die(path, rows=200)
    before = {entry.name: entry.read_bytes() for entry in path.parent.iterdir()}
    with closing(Store.open(path, read_only=True)) as store:
        private = Path(store._file)
        assert (store.load("j1"), store.faults(), private == path) == (job, [], False)
    assert {entry.name: entry.read_bytes() for entry in path.parent.iterdir()} == before
    assert not private.parent.exists()


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")
def test_a_stopped_store_that_keeps_changing_is_not_read(
    filled: Store, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled.close()
    die(path, rows=200)
    counted = itertools.count()
    monkeypatch.setattr(opening, "_stamps", lambda *_: [(next(counted), 0)])
    with pytest.raises(StoreProblem, match=r"left exactly as it was.*\(it is being written\): try again"):
        Store.open(path, read_only=True)


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")
def test_a_stopped_store_that_cannot_be_copied_is_not_read(
    filled: Store, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled.close()
    die(path, rows=200)
    monkeypatch.setattr("shutil.copyfile", full)
    with pytest.raises(StoreProblem, match=r"can't be read at the moment \(No space left\): try again"):
        Store.open(path, read_only=True)


def full(*_: object) -> None:
    raise OSError(28, "No space left")


def test_a_store_without_readings_has_no_count_of_them_to_tell(filled: Store) -> None:
    with filled._reading() as connection:
        assert safe_words(connection) == (
            "The store was opened and read again: everything saved before is safe."
        )
