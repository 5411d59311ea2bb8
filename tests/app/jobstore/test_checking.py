"""Each test alters the file behind the program's back, guards taken off first, and wants it named."""

from __future__ import annotations

import dataclasses
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from app.jobstore import Store
from app.jobstore.attachments import path_of
from app.jobstore.parts import parts_of
from app.record.act import Act
from app.record.canonical import canonical, digest
from app.record.revision import Declaration, Record, to_bytes
from ctcore.job import Job, Reading
from tests.app.jobstore.conftest import AT_UTC

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
            "The entry ct:a of job 1042",
        ),
        ("UPDATE part SET event_n = 77 WHERE part_id = 'ct:a'", "The entry ct:a of job 1042"),
        ("UPDATE revision SET record = x'00'", "Revision 1 of job 1042"),
        ("UPDATE revision SET digest = 'ab'", "Revision 1 of job 1042"),
        ("UPDATE revision SET revision = 2", "Revision 2 of job 1042"),
        ("UPDATE revision SET frozen_at_utc = '2031-05-04T09:00:01.000Z'", "Revision 1 of job 1042"),
        ("DELETE FROM revision", "Revision 1 of job 1042 is gone"),
        ("UPDATE part SET kind = 'remark' WHERE part_id = 'ct:a'", "The entry ct:a of job 1042"),
        ("DELETE FROM part WHERE part_id = 'instrument:m1'", "The entry instrument:m1 of job 1042 is gone"),
        ("DELETE FROM part WHERE part_id = 'header'", "The line of job 1042"),
        ("UPDATE attachment SET name_text = 'other.txt'", "The file other.txt is not filed with job 1042"),
        ("UPDATE attachment SET core_id = 'a.c2'", "The file plate.txt is not filed with job 1042"),
        ("UPDATE attachment SET event_n = 5", "The file plate.txt is not filed with job 1042"),
        ("DELETE FROM attachment", "The file plate.txt is no longer filed with job 1042"),
        ("UPDATE job SET state = 'issued'", "The line of job 1042"),
        ("UPDATE job SET title_text = 'Other'", "The line of job 1042"),
        ("UPDATE job SET core_count = 5", "The line of job 1042"),
        ("UPDATE job SET changed_at_utc = created_at_utc || '0'", "The line of job 1042"),
        ("UPDATE job SET created_at_utc = ''", "The line of job 1042"),
        ("DELETE FROM job", "The job j1 is gone from the list of jobs"),
        (
            "UPDATE reading SET job_id = 'nobody' WHERE reading_id = 'r4'",
            "Rows point to rows that are not there",
        ),
    ],
)
def test_an_alteration_in_the_file_is_named(altered: Path, statement: str, fault: str) -> None:
    assert fault in " ".join(faults_after(altered, statement))


@pytest.mark.parametrize("table", ["reading", "part", "revision", "attachment"])
def test_what_was_moved_to_another_job_is_named(table: str, altered: Path) -> None:
    second = "INSERT INTO job SELECT 'j2', 2, title_text, site_text, state, 0, '', '' FROM job"
    found = faults_after(altered, second, f"UPDATE {table} SET job_id = 'j2'")

    assert any("are not" in one or "is not" in one for one in found if "list of jobs" not in one)


def test_an_index_that_leaves_rows_out_is_named(altered: Path) -> None:
    found = faults_after(
        altered,
        "PRAGMA writable_schema=ON",
        "UPDATE sqlite_master SET sql = 'CREATE INDEX event_by_job ON event (kind)'"
        " WHERE name = 'event_by_job'",
    )

    assert [one for one in found if "event_by_job" in one] == found
    assert found[0].startswith("The file can't be read in full: ")


def test_a_record_frozen_with_another_reading_is_named(
    filled: Store, act: Callable[..., Act], reading: Callable[..., Reading]
) -> None:
    filled.append("j1", act(), readings=[reading("265.2")])
    job = filled.load("j1")
    (one,) = job.readings
    forged = dataclasses.replace(job, readings=(dataclasses.replace(one, value_text="265.3"),))
    filled.freeze("j1", frozen(job), act("frozen"), revision=1, state="approved")
    filled.freeze("j1", frozen(forged), act("frozen"), revision=2, state="approved")

    assert filled.faults() == ["Revision 2 of job 1042 was frozen with other readings than the job has here."]


def frozen(job: Job) -> bytes:
    who = Declaration(
        person_id="p1", name_text="A. Tester", text="As recorded.", at_utc=AT_UTC, utc_offset_minutes=120
    )
    return to_bytes(
        Record(
            program_version="0.0.0",
            rules_version="1",
            revision=1,
            job=job,
            findings=(),
            derived=(),
            declaration=who,
            heads=(),
            frozen_at_utc=AT_UTC,
        )
    )


def test_an_earlier_form_of_an_entry_put_back_is_named(filled: Store, act: Callable[..., Act]) -> None:
    (before,) = [part for part in parts_of(filled.load("j1")) if part.part_id == "instrument:m1"]
    changed = dataclasses.replace(before, body={**before.body, "name_text": "Bridge 5"})
    filled.append("j1", act("instrument"), parts=[changed])
    filled.close()
    spelled = canonical(before.body).decode()
    found = faults_after(
        filled.path, f"UPDATE part SET event_n = 1, body = '{spelled}' WHERE part_id = 'instrument:m1'"
    )

    assert found == ["The entry instrument:m1 of job 1042 is not the one that was saved."]


def test_entries_in_another_order_are_named(filled: Store) -> None:
    filled.close()

    assert faults_after(filled.path, "UPDATE part SET sort = 7 WHERE part_id = 'position:b1'") == [
        "The entry position:b1 of job 1042 is not the one that was saved."
    ]


def test_a_job_that_went_on_in_every_way_is_whole(
    filled: Store, act: Callable[..., Act], reading: Callable[..., Reading]
) -> None:
    filled.append("j1", act(), readings=[reading()], state="handed_in")
    filled.append("j1", act("remark"), removed_parts=["remark:n1"])
    (header,) = [part for part in parts_of(filled.load("j1")) if part.kind == "header"]
    filled.append("j1", act("header"), parts=[header])

    assert filled.faults() == []


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
