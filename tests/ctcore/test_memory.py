"""What is remembered of a judgement: the same where nothing changed, and never stale."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ctcore.findings import Finding
from ctcore.job import METHOD_ROW, Job, Reading, places
from ctcore.judge import judge, judge_core, scene_of, touched_by
from ctcore.judgement import memory
from ctcore.takes import renewed, takes_of

FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 20, "t_winding_source": "surface_probe"}
AS_ASKED = {
    "tap_id": "S1-S2",
    "frequency_hz": 50,
    "voltage_response": "mean",
    "current_response": "true_rms",
    "demagnetised": "yes_no_dc_since",
    "primary_state": "open",
    "other_cores": "none",
    "links": "lifted",
}


@pytest.fixture
def tested(worksheet: Any) -> Any:
    """Three phases of one core with resistance, ratio by voltage and excitation."""
    sheet = worksheet("0.5 FS5 10 VA", phases=3)
    for core in range(3):
        sheet.key("insulation", core=core, t_winding_degc=20)
        sheet.key("insulation", "secondary_earth", core=core, v_test_v=500, insulation_resistance_ohm=5e8)
        sheet.key("resistance", core=core, **FOUR_WIRE)
        sheet.key("resistance", "S1-S2", core=core, r_measured_ohm=2.0 + 0.01 * core)
        sheet.key("ratio", core=core, ratio_method="voltage")
        sheet.key("ratio", "S1-S2", core=core, v_secondary_v=60, v_primary_v=0.1, i_excitation_a=0.001)
        sheet.key("excitation", core=core, **AS_ASKED)
        volts = [20.0, 40.0, 60.0, 80.0, 90.0, 100.0]
        sheet.points(volts, [0.001 * (v / 100) ** 0.7 + 0.01 * (v / 100) ** 15 for v in volts], core=core)
    return sheet


def test_a_test_that_did_not_change_keeps_its_very_findings(tested: Any) -> None:
    job, place = tested.job, tested.place()
    takes = takes_of(tested.readings)

    first, again = judge_core(job, place, takes), judge_core(job, place, takes)

    assert all(one is other for one, other in zip(first, again, strict=True))


def test_takes_made_anew_from_the_same_readings_are_the_old_ones(tested: Any) -> None:
    key = ("c1", "resistance")
    old = takes_of(tested.readings)[key]

    assert renewed(old, takes_of(tested.readings)[key]) is old


def test_a_take_with_a_changed_reading_is_the_new_one(tested: Any) -> None:
    key = ("c1", "resistance")
    old = takes_of(tested.readings)[key]
    tested.key("resistance", "S1-S2", take=2, r_measured_ohm=3.0)

    new = renewed(old, takes_of(tested.readings)[key])

    assert new[0] is old[0]
    assert len(new) == 2


def _afresh(job: Job) -> list[Finding]:
    """Judged with nothing remembered."""
    fresh = replace(job, references=replace(job.references), instruments=(*job.instruments,))
    return judge(replace(fresh, positions=tuple(replace(entry) for entry in job.positions)))


@given(data=st.data())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_judging_what_a_reading_touches_gives_what_judging_everything_gives(
    tested: Any, data: st.DataObject
) -> None:
    job = tested.job
    takes = takes_of(job.readings)
    found = {place.core.core_id: judge_core(job, place, takes) for place in places(job)}
    numbers = [entry for entry in job.readings if _is_number(entry)]
    for _ in range(4):
        old = data.draw(st.sampled_from(numbers))
        factor = data.draw(st.sampled_from([0.5, 0.98, 1.02, 3.0]))
        text = repr(float(old.value_text or "1") * factor)
        readings = tuple(
            replace(entry, value_text=text, as_typed_text=text) if entry is old else entry
            for entry in job.readings
        )
        numbers = [entry for entry in readings if _is_number(entry)]
        job = replace(job, readings=readings)
        key = (old.core_id, old.procedure_id)
        own = [entry for entry in readings if (entry.core_id, entry.procedure_id) == key]
        takes = {**takes, key: renewed(takes[key], takes_of(own)[key])}
        for place in places(job):
            if place.core.core_id in touched_by(job, old.core_id):
                found[place.core.core_id] = judge_core(job, place, takes)

    whole = [finding for place in places(job) for finding in found[place.core.core_id]]

    assert whole == _afresh(job)


def test_derived_values_follow_a_reading_of_another_core(tested: Any) -> None:
    def spread() -> Any:
        return tested.derived("resistance", "r_spread_percent", "S1-S2").value

    before = spread()
    tested.key("resistance", "S1-S2", take=2, core=1, r_measured_ohm=9.0)
    tested.key("resistance", METHOD_ROW, take=2, core=1, **FOUR_WIRE)

    assert spread() != before


def test_what_is_kept_by_take_is_one_object(tested: Any) -> None:
    calls: list[int] = []

    @memory.kept_by_take
    def made(scene: Any, take: Any) -> object:
        calls.append(take.take)
        return object()

    takes = takes_of(tested.readings)
    scene = scene_of(tested.job, tested.place(), takes)
    take = takes["c1", "excitation"][0]

    assert made(scene, take) is made(scene, take)
    assert calls == [1]


def _is_number(entry: Reading) -> bool:
    return entry.value_text is not None and entry.value_text.replace(".", "").replace("e+08", "").isdigit()
