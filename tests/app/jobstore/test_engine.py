from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.jobstore import StoreProblem, engine
from app.jobstore.engine import BEGIN_OPTION, PRAGMAS, connected, demand_version, open_engine

# Source: SQLite documentation, "Pragma statements": synchronous 2 is FULL, temp_store 2 is MEMORY.
WANTED = {
    "journal_mode": "truncate",
    "synchronous": 2,
    "foreign_keys": 1,
    "trusted_schema": 0,
    "cell_size_check": 1,
    "mmap_size": 0,
    "busy_timeout": 5000,
    "temp_store": 2,
}


@pytest.mark.parametrize("name", WANTED)
def test_every_setting_that_a_power_cut_asks_for_reads_back(path: Path, name: str) -> None:
    with closing(connected(path, read_only=False)) as raw:
        assert raw.execute(f"PRAGMA {name}").fetchone()[0] == WANTED[name]


def test_no_setting_is_left_out() -> None:
    assert {name for name, _, _ in PRAGMAS} == set(WANTED)


@pytest.mark.parametrize("name", WANTED)
def test_a_start_is_refused_where_a_setting_does_not_read_back(
    path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoiled = tuple((row[0], row[1], "other") if row[0] == name else row for row in PRAGMAS)
    monkeypatch.setattr(engine, "PRAGMAS", spoiled)
    with pytest.raises(StoreProblem, match=rf"^Nothing was opened or changed\..*{name}="):
        connected(path, read_only=False)


@pytest.mark.parametrize("version", [(3, 36, 0), (3, 8, 11), (2, 8, 17)])
def test_an_old_sqlite_is_refused_with_its_version(version: tuple[int, int, int]) -> None:
    with pytest.raises(StoreProblem, match=re.escape(f"version {'.'.join(map(str, version))}, and")):
        demand_version(version)


@pytest.mark.parametrize("version", [(3, 37, 0), (3, 51, 3), (4, 0, 0)])
def test_a_new_enough_sqlite_is_taken(version: tuple[int, int, int]) -> None:
    assert demand_version(version) is None


def test_a_writing_transaction_shuts_other_writers_out_from_its_first_word(path: Path) -> None:
    made = open_engine(path)
    with closing(sqlite3.connect(path, timeout=0)) as other, made.connect() as connection:
        connection.begin()
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("BEGIN IMMEDIATE")
    made.dispose()


def test_a_reading_transaction_shuts_nobody_out(path: Path) -> None:
    made = open_engine(path)
    with (
        closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as other,
        made.connect() as connection,
    ):
        connection.execution_options(**{BEGIN_OPTION: "BEGIN"}).begin()
        other.execute("BEGIN IMMEDIATE")
        assert other.in_transaction
    made.dispose()


def test_a_table_made_in_a_transaction_goes_when_it_is_taken_back(path: Path) -> None:
    made = open_engine(path)
    with made.connect() as connection:
        turn = connection.begin()
        connection.exec_driver_sql("CREATE TABLE t(a INTEGER) STRICT")
        turn.rollback()
        assert connection.exec_driver_sql("SELECT count(*) FROM sqlite_master").scalar_one() == 0
    made.dispose()


def test_a_file_name_with_spaces_and_signs_is_taken_as_it_is(tmp_path: Path) -> None:
    odd = tmp_path / "bay #1 100% ?mode=ro é 😀.coreleaf"
    connected(odd, read_only=False).close()
    assert [entry.name for entry in tmp_path.iterdir()] == [odd.name]
