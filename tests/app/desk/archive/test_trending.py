"""One core over the years: a change is judged against uncertainty, and unlike curves are not compared."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from app.desk.archive.trending import beside, currents_at, trends
from app.jobstore.archive import Archive, Asked, KeptCurve
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

    within, beyond = currents_at(archive, the_core(archive), (volts, 1e6))
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

    (trend,) = currents_at(archive, the_core(archive), (100.0,))
    assert [point.number_text for point in trend.points] == ["B"] * len(trend.points)
    assert any("voltage meters are unlike" in told for told in trend.left_out)


def test_two_curves_are_compared_or_refused_with_the_reason(archive: Archive) -> None:
    put(archive, changed("A"), 0)
    curve = archive.curves(the_core(archive))[0]

    assert all(abs(one.current_percent) < 1e-6 for one in beside(curve, curve).deviations)
    unlike = dataclasses.replace(curve, frequency_hz=60.0)
    assert beside(curve, unlike).refusals_text == ("the frequencies are unlike: 50.0 and 60.0",)
    assert "no curve can be drawn" in beside(curve, _short(curve)).refusals_text[0]


def _short(curve: KeptCurve) -> KeptCurve:
    return dataclasses.replace(curve, voltage_v=curve.voltage_v[:1], current_a=curve.current_a[:1])
