"""One core over the years: a change is judged against uncertainty, and unlike curves are not compared."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from app.desk.archive.of_record import RecordsInHand
from app.desk.archive.trending import CurrentTrend, beside, currents_at, trends
from app.jobstore.archive import Archive, Asked, KeptCurve
from app.record.canonical import digest
from app.record.revision import DerivedOf, Record
from ctcore.job import places
from ctcore.judge import derived
from ctcore.procedure import Derived
from ctcore.takes import takes_of
from tests.app.jobstore.archive.test_history import on_day
from tests.app.jobstore.archive.test_searching import changed, put


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    its = Archive.open(str(tmp_path / "archive.sqlite"))
    yield its
    its.close()


def with_values(record: Record, *, factor: float = 1.0, u_expanded: float | None = 0.01) -> Record:
    """The record with its derived values; resistances at 75 degrees are given that factor and uncertainty."""
    job = record.job

    def changed_value(one: Derived) -> Derived:
        if one.quantity_id != "r_winding_75degc_ohm" or not isinstance(one.value, float):
            return one
        return dataclasses.replace(one, value=one.value * factor, u_expanded=u_expanded)

    found = derived(job, places(job)[0], takes_of(job.readings))
    return dataclasses.replace(
        record,
        derived=tuple(
            DerivedOf(core_id=core, procedure_id=test, take=take, values=tuple(map(changed_value, values)))
            for (core, test, take), values in found.items()
        ),
    )


def the_core(archive: Archive) -> int:
    return archive.search(Asked()).hits[0].cores[0].core_no


def resistances(archive: Archive) -> list:
    return [one for one in trends(archive, the_core(archive)) if one.quantity_id == "r_winding_75degc_ohm"]


def test_a_resistance_that_rose_beyond_its_uncertainty_has_changed(archive: Archive) -> None:
    put(archive, with_values(on_day(changed("A"), "2031-05-04")), 0)
    put(archive, with_values(on_day(changed("B"), "2036-05-04"), factor=1.0005), 1)
    put(archive, with_values(on_day(changed("C"), "2041-05-04"), factor=1.05), 2)

    for trend in resistances(archive):
        steps = [point.change.answer if point.change else None for point in trend.points]
        assert [point.number_text for point in trend.points] == ["A", "B", "C"]
        assert steps == [None, "no change shown", "changed"]
        assert trend.whole is not None
        assert trend.whole.percent == pytest.approx(5.0, abs=0.01)


def test_without_uncertainty_a_change_is_not_claimed(archive: Archive) -> None:
    put(archive, with_values(on_day(changed("A"), "2031-05-04"), u_expanded=None), 0)
    put(archive, with_values(on_day(changed("B"), "2036-05-04"), factor=1.05, u_expanded=None), 1)

    for trend in resistances(archive):
        assert trend.points[1].change is not None
        assert trend.points[1].change.answer == "cannot tell"


def test_each_tap_is_followed_by_its_terminals(archive: Archive) -> None:
    record = with_values(changed("A"))
    put(archive, record, 0)
    taps = {tap.terminals_text for tap in places(record.job)[0].core.taps}

    assert {trend.row for trend in resistances(archive)} == taps


def test_currents_at_fixed_volts_come_from_curves_taken_alike(archive: Archive) -> None:
    put(archive, on_day(changed("A"), "2031-05-04"), 0)
    put(archive, on_day(changed("B"), "2036-05-04"), 1)
    volts = float(np.median(archive.curves(the_core(archive))[0].voltage_v))

    within, beyond = currents_at(archive, the_core(archive), (volts, 1e6), RecordsInHand(archive))
    alike = {point.current_a for point in within.points}
    assert len(alike) == 1
    assert None not in alike
    assert {point.current_a for point in beyond.points} == {None}


def test_a_curve_read_with_another_meter_is_left_out_with_the_reason(archive: Archive) -> None:
    other = on_day(changed("B"), "2036-05-04")
    readings = tuple(
        dataclasses.replace(entry, value_text="true_rms")
        if entry.quantity_id == "voltage_response"
        else entry
        for entry in other.job.readings
    )
    put(archive, on_day(changed("A"), "2031-05-04"), 0)
    put(archive, dataclasses.replace(other, job=dataclasses.replace(other.job, readings=readings)), 1)

    (trend,) = currents_at(archive, the_core(archive), (100.0,), RecordsInHand(archive))
    assert [point.number_text for point in trend.points] == ["B"] * len(trend.points)
    assert any("voltage meters are unlike" in told for told in trend.left_out)


def specified(record: Record, percent: float) -> Record:
    """The record with every meter of that share of the reading."""
    meters = tuple(
        dataclasses.replace(one, spec_reading_percent=percent, spec_floor=None)
        for one in record.job.instruments
    )
    return dataclasses.replace(record, job=dataclasses.replace(record.job, instruments=meters))


def with_currents(record: Record, factor: float) -> Record:
    """The record with every exciting current times that."""
    readings = tuple(
        dataclasses.replace(entry, value_text=repr(float(entry.value_text) * factor))
        if entry.quantity_id == "i_excitation_a" and entry.value_text
        else entry
        for entry in record.job.readings
    )
    return dataclasses.replace(record, job=dataclasses.replace(record.job, readings=readings))


def filed_in(archive: Archive, monkeypatch: pytest.MonkeyPatch, *records: Record) -> CurrentTrend:
    """The current at one voltage of records whose signed papers are those."""
    jobs = {digest(record.job.job_id.encode()): record.job for record in records}
    for leaf_no, record in enumerate(records):
        put(archive, record, leaf_no)
    monkeypatch.setattr(RecordsInHand, "_read", lambda _self, name: jobs[name])
    volts = float(np.median(archive.curves(the_core(archive))[0].voltage_v))
    (trend,) = currents_at(archive, the_core(archive), (volts,), RecordsInHand(archive))
    return trend


def test_a_current_carries_the_uncertainty_of_the_meters_of_its_own_test(
    archive: Archive, monkeypatch: pytest.MonkeyPatch
) -> None:
    one = specified(on_day(changed("A"), "2031-05-04"), 0.2)
    two = specified(with_currents(on_day(changed("B"), "2036-05-04"), 1.002), 2.0)
    three = specified(with_currents(on_day(changed("C"), "2041-05-04"), 1.4), 0.2)
    trend = filed_in(archive, monkeypatch, one, two, three)

    shares = [point.u_expanded / point.current_a for point in trend.points]
    assert shares[1] == pytest.approx(10.0 * shares[0], rel=0.02)
    # The current alone gives 2 x 0.2 % / sqrt 3 (JCGM 100:2008, 4.3.7); the voltage adds with its slope.
    assert 0.00231 < shares[0] < 0.02
    steps = [point.change.answer if point.change else None for point in trend.points]
    assert steps == [None, "no change shown", "changed"]


def test_a_current_whose_meters_state_nothing_has_no_uncertainty_and_no_verdict(
    archive: Archive, monkeypatch: pytest.MonkeyPatch
) -> None:
    bare = dataclasses.replace(changed("A").job, instruments=())
    one = dataclasses.replace(changed("A"), job=bare)
    trend = filed_in(archive, monkeypatch, one, with_currents(specified(changed("B"), 0.2), 1.4))

    assert trend.points[0].u_expanded is None
    assert [point.change.answer for point in trend.points if point.change] == ["cannot tell"]


def test_two_curves_are_compared_or_refused_with_the_reason(archive: Archive) -> None:
    put(archive, changed("A"), 0)
    curve = archive.curves(the_core(archive))[0]

    assert all(abs(one.current_percent) < 1e-6 for one in beside(curve, curve).deviations)
    unlike = dataclasses.replace(curve, frequency_hz=60.0)
    assert beside(curve, unlike).refusals_text == ("the frequencies are unlike: 50.0 and 60.0",)
    assert "no curve can be drawn" in beside(curve, _short(curve)).refusals_text[0]


def _short(curve: KeptCurve) -> KeptCurve:
    return dataclasses.replace(curve, voltage_v=curve.voltage_v[:1], current_a=curve.current_a[:1])
