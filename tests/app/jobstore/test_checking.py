"""Each test alters the file behind the program's back, guards taken off first, and wants it named."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.jobstore import Store
from app.jobstore.attachments import path_of
from app.record.canonical import digest

SPECIMEN = Path(__file__).parents[2] / "specimens" / "store_form_1.coreleaf"


@pytest.fixture
def altered(tmp_path: Path) -> Path:
    copy = tmp_path / "altered.coreleaf"
    shutil.copyfile(SPECIMEN, copy)
    shutil.copytree(
        SPECIMEN.with_name(SPECIMEN.name + ".attachments"), tmp_path / "altered.coreleaf.attachments"
    )
    return copy


def faults_after(path: Path, *statements: str) -> list[str]:
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        raw.execute("PRAGMA foreign_keys=OFF")
        names = [row[0] for row in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")]
        for statement in (*(f"DROP TRIGGER {name}" for name in names), *statements):
            raw.execute(statement)
    with closing(Store.open(path)) as store:
        return store.faults()


def test_without_an_alteration_nothing_is_found(altered: Path) -> None:
    assert faults_after(altered) == []


@pytest.mark.parametrize(
    ("statement", "fault"),
    [
        ("UPDATE reading SET value_text = '300' WHERE reading_id = 'r2'", "readings of event 3"),
        (
            "UPDATE reading SET as_typed_text = '9' WHERE reading_id = 'r6'",
            "readings of event 1 of device device-south",
        ),
        ("UPDATE reading SET struck = 0 WHERE reading_id = 'r3'", "readings of event 4"),
        ("UPDATE reading SET event_n = 2 WHERE reading_id = 'r2'", "readings of event 2"),
        ("DELETE FROM reading WHERE reading_id = 'r1'", "readings of event 2"),
        (
            "UPDATE event SET body = replace(body, '265.2', '265.3') WHERE n = 2",
            "device-north is broken at event 2",
        ),
        ("DELETE FROM event WHERE n = 3", "device-north is broken at event 3"),
        (
            "UPDATE event SET head = prev WHERE device_id = 'device-south'",
            "device-south is broken at event 1",
        ),
        ("UPDATE event SET body = '{}' WHERE n = 2", "An event of the trail can't be read"),
        ("UPDATE event SET kind = 'remark' WHERE n = 2", "event 2 of device device-north is filed"),
        ("UPDATE event SET job_id = 'j2' WHERE n = 2", "event 2 of device device-north is filed"),
        (
            "UPDATE part SET body = replace(body, '5P20', '5P10') WHERE part_id = 'ct:a'",
            "The entry ct:a of job j1",
        ),
        ("UPDATE part SET event_n = 77 WHERE part_id = 'ct:a'", "The entry ct:a of job j1"),
        ("UPDATE revision SET record = x'00'", "Revision 1 of job j1"),
        ("UPDATE revision SET digest = 'ab'", "Revision 1 of job j1"),
        ("UPDATE revision SET revision = 2", "Revision 2 of job j1"),
        (
            "UPDATE reading SET job_id = 'nobody' WHERE reading_id = 'r4'",
            "Rows point to rows that are not there",
        ),
    ],
)
def test_an_alteration_in_the_file_is_named(altered: Path, statement: str, fault: str) -> None:
    assert fault in " ".join(faults_after(altered, statement))


def test_a_spoiled_attachment_is_named(altered: Path) -> None:
    path_of(altered, digest(b"plate, photographed\n")).write_bytes(b"")
    assert "plate.txt is no longer what was attached" in " ".join(faults_after(altered))


def test_a_spoiled_page_is_found(altered: Path) -> None:
    data = bytearray(altered.read_bytes())
    last_page = len(data) - 4096
    data[last_page : last_page + 64] = bytes(64)
    altered.write_bytes(data)
    with closing(Store.open(altered)) as store:
        assert "a piece of the file altered.coreleaf can't be read" in " ".join(store.faults())
