"""One core as a page shows it: lines over the years, curves beside its own, and what comes into a job."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.desk import Desk
from app.desk.archive.of_record import RecordsInHand
from app.desk.archive.over_years import CoreOverYears, core_over_years
from app.desk.archive.previous import PreviousTest, previous_test
from app.desk.view import Refusal
from app.jobstore.archive import Archive, Asked
from app.record.revision import Record
from ctcore.job import Header, ReferenceCurve, ReferencePoint, places
from tests.app.desk.archive.test_trending import with_values
from tests.app.jobstore.archive.conftest import file, first
from tests.app.jobstore.archive.test_history import on_day
from tests.app.jobstore.archive.test_searching import changed, put, with_serial


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    its = Archive.open(str(tmp_path / "archive.sqlite"))
    yield its
    its.close()


def seen(archive: Archive, number_text: str) -> CoreOverYears:
    hit = archive.search(Asked(number_text=number_text)).hits[0]
    return core_over_years(archive, hit.filed, hit.cores[0])


def with_certificate(record: Record, *, response: str) -> Record:
    core = places(record.job)[0].core
    curve = ReferenceCurve(
        core_id=core.core_id,
        tap_id="",
        kind="certificate",
        source_text="certificate 9",
        frequency_hz=50.0,
        voltage_response=response,
        current_response="true_rms",
        points=tuple(ReferencePoint(voltage_v=10.0 * n, current_a=0.001 * n) for n in range(1, 30)),
    )
    references = dataclasses.replace(record.job.references, curves=(curve,))
    return dataclasses.replace(record, job=dataclasses.replace(record.job, references=references))


def filled(archive: Archive) -> None:
    file(archive, first())
    put(archive, with_values(on_day(changed("Z-1"), "2036-05-04"), factor=1.05), 5)


def test_each_step_over_the_years_is_judged_in_words(archive: Archive) -> None:
    put(archive, with_values(on_day(changed("A"), "2031-05-04")), 0)
    put(archive, with_values(on_day(changed("B"), "2036-05-04"), factor=1.05), 1)
    found = seen(archive, "B")

    group = next(one for one in found.groups if one.startswith("winding resistance at 75"))
    before, now = found.of_group(group)
    assert before.change_text == ""
    assert now.change_text.startswith("+5.00 %, En ")
    assert now.change is not None
    assert now.change.answer == "changed"
    assert " Ω ± " in now.shown_text.replace("\N{NO-BREAK SPACE}", " ")


def test_currents_without_uncertainty_are_not_called_changed(archive: Archive) -> None:
    put(archive, on_day(changed("A"), "2031-05-04"), 0)
    put(archive, on_day(changed("B"), "2036-05-04"), 1)
    found = seen(archive, "B")

    currents = [one for one in found.lines if one.group.startswith("exciting current at")]
    assert len({one.group for one in currents}) == 3
    answers = {one.change.answer for one in currents if one.change}
    assert answers <= {"cannot tell"}


def test_the_previous_curve_of_the_same_core_and_tap_stands_beside(archive: Archive) -> None:
    put(archive, on_day(changed("A"), "2031-05-04"), 0)
    put(archive, on_day(changed("B"), "2036-05-04"), 1)
    found = seen(archive, "B")

    (previous,) = [one for one in found.besides if one.kind == "previous"]
    assert (previous.curve.number_text, previous.refusals) == ("A", ())
    assert previous.largest_percent == pytest.approx(0.0, abs=1e-6)


def test_the_factory_curve_is_refused_where_the_meters_are_unlike(
    archive: Archive, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = with_certificate(changed("A"), response="peak")
    put(archive, record, 0)
    monkeypatch.setattr(RecordsInHand, "_read", lambda _self, _digest: record.job)
    found = seen(archive, "A")

    (factory,) = [one for one in found.besides if one.kind == "certificate"]
    assert factory.curve.number_text == "certificate 9"
    assert "the voltage meters are unlike" in factory.refusals[0]
    assert factory.largest_percent is None


def test_a_record_that_was_filed_is_looked_at_with_its_papers(archive: Archive) -> None:
    filled(archive)
    found = seen(archive, "1042")
    assert found.own is not None
    assert found.groups


# A previous test taken into a job


def the_test(archive: Archive) -> PreviousTest:
    put(archive, with_serial(with_values(changed("A")), "TX 9"), 0)
    hit = archive.search(Asked(serial_text="TX 9")).hits[0]
    return previous_test(archive, hit.filed, hit.cores[0])


def job_like(desk: Desk, test: PreviousTest, serial_text: str) -> str:
    """A job with one transformer of that serial whose tap has the terminals of the test."""
    job_id = desk.new_job(Header(number_text="78")).view.job.job_id
    desk.add_position(job_id, "Line side", phases=("L1",), core_classes=("5P20 15 VA",))
    ct = desk.view(job_id).job.positions[0].cts[0]
    tap = dataclasses.replace(ct.cores[0].taps[0], terminals_text=test.curves[0].terminals_text)
    core = dataclasses.replace(ct.cores[0], number=test.core_number, taps=(tap,))
    desk.set_ct(job_id, dataclasses.replace(ct, serial_text=serial_text, cores=(core,)))
    return job_id


def test_a_previous_test_comes_in_by_one_act_and_goes_by_one_undo(archive: Archive, desk: Desk) -> None:
    test = the_test(archive)
    job_id = job_like(desk, test, "tx  9")

    references = desk.take_previous(job_id, test).view.job.references
    assert len(references.curves) == 1
    assert references.curves[0].kind == "previous"
    assert len(references.curves[0].points) == len(test.curves[-1].voltage_v)
    assert {one.quantity_id for one in references.values} >= {"r_winding_75degc_ohm"}
    assert "sheet A revision" in references.values[0].source_text

    again = desk.take_previous(job_id, test).view.job.references
    assert len(again.curves) == 1
    desk.undo(job_id)
    assert desk.undo(job_id).view.job.references.curves == ()


def test_another_serial_number_takes_nothing_in(archive: Archive, desk: Desk) -> None:
    test = the_test(archive)
    job_id = job_like(desk, test, "TX 10")
    with pytest.raises(Refusal, match="serial number TX 9"):
        desk.take_previous(job_id, test)
    assert desk.view(job_id).job.references.curves == ()


def test_without_a_common_tap_nothing_is_taken_in(archive: Archive, desk: Desk) -> None:
    test = the_test(archive)
    job_id = job_like(desk, test, "TX 9")
    other = dataclasses.replace(
        test,
        curves=(),
        figures=tuple(dataclasses.replace(one, terminals_text="9S1-9S2") for one in test.figures),
    )
    with pytest.raises(Refusal, match="compare the terminals"):
        desk.take_previous(job_id, other)
