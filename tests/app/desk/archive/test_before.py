"""The test before of the same core, as who decides looks at it beside the one in hand."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.desk.archive.before import EarlierTest, earlier_test
from app.jobstore.archive import Archive
from app.record.revision import Record
from ctcore.job import Job, places
from ctcore.takes import takes_of
from tests.app.desk.archive.test_trending import with_values
from tests.app.jobstore.archive.test_history import on_day
from tests.app.jobstore.archive.test_searching import changed, put, with_serial


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    """Two tests of one transformer: one of 2026, one of 2021, and one later than the job in hand."""
    its = Archive.open(str(tmp_path / "archive.sqlite"))
    put(its, on_day(changed("L"), "2036-05-04"), 10)
    put(its, with_values(on_day(changed("B"), "2026-05-04"), factor=1.05), 11)
    put(its, with_values(on_day(changed("A"), "2021-05-04")), 12)
    yield its
    its.close()


def now(**header: object) -> Job:
    """A later job on the same transformer."""
    return on_day(changed("C", **header), "2030-05-04").job


def asked(archive: Archive, job: Job) -> EarlierTest | None:
    takes, core_id = takes_of(job.readings), places(job)[0].core.core_id
    take = next(iter(takes.get((core_id, "excitation"), ())[-1:]), None)
    return earlier_test(archive, job, takes, core_id=core_id, take=take)


def responding(record: Record, response: str) -> Record:
    """The record with another response of the voltmeter in its excitation test."""
    readings = tuple(
        dataclasses.replace(entry, value_text=response, as_typed_text=response)
        if entry.quantity_id == "voltage_response"
        else entry
        for entry in record.job.readings
    )
    return dataclasses.replace(record, job=dataclasses.replace(record.job, readings=readings))


def test_the_last_test_before_the_day_of_the_job_is_taken_and_none_after_it(archive: Archive) -> None:
    found = asked(archive, now())
    assert found is not None
    assert (found.tested_on, found.number_text) == ("2026-05-04", "B")


def test_its_figures_are_named_by_test_quantity_and_terminals(archive: Archive) -> None:
    found = asked(archive, now())
    assert found is not None
    terminals = "".join(places(now())[0].core.full_tap.terminals_text.casefold().split())
    assert ("resistance", "r_winding_75degc_ohm", terminals) in found.found


def test_a_curve_that_was_taken_alike_is_compared_and_the_largest_difference_told(archive: Archive) -> None:
    found = asked(archive, now())
    assert found is not None
    assert found.curve is not None
    assert (found.refusals, found.largest_percent) == ((), pytest.approx(0.0, abs=1e-9))
    assert found.largest_text.startswith("0.0 % at ")


def test_a_curve_that_was_taken_otherwise_is_refused_with_the_reason(archive: Archive) -> None:
    put(archive, responding(on_day(changed("X"), "2029-05-04"), "peak"), 13)
    found = asked(archive, now())
    assert found is not None
    assert found.number_text == "X"
    assert found.refusals[0].startswith("the voltage meters are unlike")
    assert found.largest_text == ""


def test_another_serial_number_has_no_test_before(archive: Archive) -> None:
    assert asked(archive, with_serial(on_day(changed("C"), "2030-05-04"), "SN 9").job) is None
    assert asked(archive, with_serial(on_day(changed("C"), "2030-05-04"), "").job) is None


def test_an_earlier_revision_of_the_same_job_is_no_test_before(archive: Archive) -> None:
    job = dataclasses.replace(now(), job_id="job-B")
    found = asked(archive, job)
    assert found is not None
    assert found.number_text == "A"
