"""The list for the first picture is the one of the store, or none; a file is never touched for it."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from app.desk import Desk
from app.jobstore import Store, first_look
from app.settings import Settings
from ctcore.job import Header
from tests.app.desk.making import complete_job


@pytest.fixture
def store(tmp_path: Path) -> Path:
    path = tmp_path / "a folder, 50 %" / "store.sqlite"
    opened = Store.open(path)
    desk = Desk(opened, Settings.load(tmp_path))
    complete_job(desk, ohms="3.40")
    desk.new_job(Header(number_text="9", title_text="Ring", site_text="Tarnbeck"))
    desk.settle(desk.jobs()[-1].job_id)
    opened.close()
    return path


def test_it_is_the_list_that_the_store_gives(store: Path) -> None:
    opened = Store.open(store)
    wanted = opened.jobs()
    opened.close()
    assert [line.worst for line in wanted] == ["not tested", "outside"]
    assert first_look.lines(store) == wanted


def test_it_needs_none_of_the_libraries_of_the_store(store: Path) -> None:
    words = (
        f"import sys; from app.jobstore import first_look; print(len(first_look.lines(__import__('pathlib')"
        f".Path({str(store)!r}))), sorted({{'sqlalchemy', 'numpy', 'alembic'}} & set(sys.modules)))"
    )
    found = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "2 []"


def test_a_store_that_another_window_writes_is_looked_at_all_the_same(store: Path) -> None:
    opened = Store.open(store)
    assert len(first_look.lines(store)) == 2
    opened.close()


@pytest.mark.parametrize("content", [None, b"", b"words that are no store, and more of them" * 100])
def test_where_there_is_no_store_it_is_empty_and_nothing_is_made(
    tmp_path: Path, content: bytes | None
) -> None:
    path = tmp_path / "store.sqlite"
    if content is not None:
        path.write_bytes(content)
    before = sorted(tmp_path.iterdir())
    assert first_look.lines(path) == []
    assert sorted(tmp_path.iterdir()) == before


@pytest.mark.parametrize(
    "words", ["UPDATE alembic_version SET version_num = '0999'", "PRAGMA application_id = 1"]
)
def test_a_store_of_another_form_or_program_is_left_to_its_opening(store: Path, words: str) -> None:
    with closing(sqlite3.connect(store)) as raw:
        raw.execute(words)
        raw.commit()
    assert first_look.lines(store) == []


def test_a_store_with_an_unfinished_entry_is_left_to_its_opening(store: Path) -> None:
    before = store.read_bytes()
    # A journal that is not empty stands for an entry that was not finished.
    with closing(sqlite3.connect(store, isolation_level=None)) as raw:
        raw.execute("PRAGMA journal_mode = DELETE")
        raw.execute("BEGIN IMMEDIATE")
        raw.execute("PRAGMA cache_spill = 1")
        raw.execute("UPDATE job SET title_text = 'half'")
        journal = store.with_name(store.name + "-journal").read_bytes()
        raw.execute("ROLLBACK")
    assert journal
    store.with_name(store.name + "-journal").write_bytes(journal)
    assert [line.title_text for line in first_look.lines(store)] != ["half", "half"]
    assert store.read_bytes() == before
