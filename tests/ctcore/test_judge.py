"""A whole job judged: order, plans, takes of record, and plates that cannot be judged."""

from __future__ import annotations

from dataclasses import replace
from math import isfinite
from typing import Any

import pytest

from ctcore.errors import BadInput
from ctcore.job import Core, Job, places
from ctcore.judge import derived, judge, judge_core, takes_of_record, touched_by
from ctcore.procedures import EXCITATION, RESISTANCE
from ctcore.takes import takes_of

FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 20, "t_winding_source": "surface_probe"}


def test_every_planned_test_without_readings_is_not_tested_once(worksheet: Any) -> None:
    found = judge(worksheet().job)

    assert [(entry.rule, entry.verdict) for entry in found] == [
        ("insulation.planned", "not tested"),
        ("resistance.planned", "not tested"),
        ("ratio.planned", "not tested"),
        ("excitation.planned", "not tested"),
    ]


def test_the_findings_stand_in_the_order_of_the_sheet(worksheet: Any) -> None:
    found = judge(worksheet(phases=3).job)

    assert list(dict.fromkeys(entry.core for entry in found)) == ["c1", "c2", "c3"]


def test_a_core_may_plan_only_some_tests(worksheet: Any) -> None:
    found = judge(worksheet(procedures=("ratio",)).job)

    assert [entry.procedure for entry in found] == ["ratio"]


def test_a_test_that_was_not_planned_but_made_is_judged_too(worksheet: Any) -> None:
    sheet = worksheet(procedures=("ratio",))
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    assert {entry.procedure for entry in judge(sheet.job)} == {"ratio", "resistance"}


def test_the_last_take_is_the_one_of_record(worksheet: Any) -> None:
    sheet = worksheet(r_winding_75degc_plate_ohm=2.5)
    for take, ohm in ((1, 9.0), (2, 2.0)):
        sheet.key("resistance", take=take, **FOUR_WIRE)
        sheet.key("resistance", "S1-S2", take=take, r_measured_ohm=ohm)

    assert (sheet.found("resistance.limit").take, sheet.found("resistance.limit").verdict) == (2, "within")


def test_takes_of_other_subjects_stand_beside_each_other(worksheet: Any) -> None:
    sheet = worksheet()
    for take, fed in ((1, "a"), (2, "b"), (3, "a")):
        sheet.key("excitation", take=take, tap_id=fed)
    takes = takes_of(sheet.readings)["c1", "excitation"]

    assert [take.take for take in takes_of_record(takes, EXCITATION)] == [2, 3]
    assert [take.take for take in takes_of_record(takes, RESISTANCE)] == [3]


def test_every_take_has_its_derived_values_also_the_earlier_ones(worksheet: Any) -> None:
    sheet = worksheet()
    for take in (1, 2):
        sheet.key("resistance", take=take, **FOUR_WIRE)
        sheet.key("resistance", "S1-S2", take=take, r_measured_ohm=float(take))

    found = derived(sheet.job, sheet.place(), takes_of(sheet.readings))

    assert {key[2] for key in found} == {1, 2}


def test_a_core_without_terminals_is_referred_and_derives_nothing(worksheet: Any) -> None:
    sheet = worksheet(taps=[])
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    assert sheet.found("resistance.plate").verdict == "refer"
    assert derived(sheet.job, sheet.place(), takes_of(sheet.readings)) == {("c1", "resistance", 1): ()}


@pytest.mark.parametrize(
    "wrong",
    [
        {"i_secondary_rated_a": 0.0},
        {"i_primary_rated_a": -600.0},
        {"turns_secondary_count": 0.0},
        {"turns_primary_count": 0.0},
        {"i_secondary_rated_a": 1e-300},
        {"i_primary_rated_a": 1e300},
    ],
)
def test_a_plate_with_zero_or_less_is_referred(worksheet: Any, make_tap: Any, wrong: Any) -> None:
    sheet = worksheet(taps=[replace(make_tap("S1-S2", 600), **wrong)])
    sheet.key("excitation", frequency_hz=50)
    sheet.points([1, 2, 3], [1, 2, 3])

    assert sheet.found("excitation.plate").verdict == "refer"


def test_a_reading_touches_its_core_its_sisters_and_its_transformer(worksheet: Any) -> None:
    sheet = worksheet(phases=3)
    job = sheet.job
    position = job.positions[0]
    second = Core(core_id="c1b", number=2, class_text="0.5", taps=sheet.cores[0].taps)
    first = replace(position.cts[0], cores=(sheet.cores[0], second))
    job = replace(job, positions=(replace(position, cts=(first, *position.cts[1:])),))

    assert touched_by(job, "c1") == {"c1", "c2", "c3", "c1b"}
    assert touched_by(job, "c1b") == {"c1", "c1b"}


def test_a_core_that_is_not_there_touches_nothing(worksheet: Any) -> None:
    assert touched_by(worksheet().job, "nowhere") == frozenset()


def test_judging_one_core_gives_what_the_whole_job_gives_for_it(worksheet: Any) -> None:
    sheet = worksheet(phases=3)
    sheet.key("resistance", core=1, **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", core=1, r_measured_ohm=2.0)
    job: Job = sheet.job

    whole = [entry for entry in judge(job) if entry.core == "c2"]

    assert whole == judge_core(job, places(job)[1], takes_of(job.readings))


def test_every_finding_names_its_rule_and_reads_as_sentences(worksheet: Any) -> None:
    sheet = worksheet(r_winding_75degc_plate_ohm=2.5)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    found = judge(sheet.job)

    assert [entry.rule for entry in found if not entry.rule or not entry.text.endswith(".")] == []


def test_a_value_out_of_reach_never_leaves_as_infinity(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("5P20 15 VA", [replace(make_tap("S1-S2", 600), i_primary_rated_a=1e-2)])
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "S1-S2", v_secondary_v=60, v_primary_v=0.1)

    values = [entry.value for entry in sheet.findings() if isinstance(entry.value, float)]

    assert [value for value in values if not isfinite(value)] == []


def retested(worksheet: Any, make_tap: Any) -> Any:
    """Two taps read, then one of them again and warmer."""
    taps = [make_tap("S1-S2", 300, turns=300.0), make_tap("S1-S3", 600, turns=600.0)]
    sheet = worksheet(taps=taps, r_winding_75degc_plate_ohm=2.5)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=0.95)
    sheet.key("resistance", "S1-S3", r_measured_ohm=1.9)
    sheet.key("resistance", take=2, **{**FOUR_WIRE, "t_winding_degc": 30})
    sheet.key("resistance", "S1-S2", take=2, r_measured_ohm=0.99)
    return sheet


def test_a_retest_of_one_tap_leaves_the_others_standing(worksheet: Any, make_tap: Any) -> None:
    sheet = retested(worksheet, make_tap)

    assert (sheet.found("resistance.limit").take, sheet.found("resistance.limit").verdict) == (1, "within")
    assert sheet.found("resistance.turns").take == 2
    assert [entry.verdict for entry in sheet.findings() if entry.procedure == "resistance"] == ["within"] * 2


def test_every_row_has_exactly_one_result_of_record(worksheet: Any, make_tap: Any) -> None:
    sheet = retested(worksheet, make_tap)
    takes = takes_of(sheet.readings)["c1", "resistance"]

    found = [(entry.row, entry.take) for entry in sheet.findings() if entry.procedure == "resistance"]

    assert len({row for row, _ in found}) == len(set(found))
    assert [take.take for take in takes_of_record(takes, RESISTANCE)] == [1, 2]


def test_a_retest_of_every_row_leaves_only_itself_of_record(worksheet: Any, make_tap: Any) -> None:
    sheet = retested(worksheet, make_tap)
    sheet.key("resistance", "S1-S3", take=2, r_measured_ohm=1.98)
    takes = takes_of(sheet.readings)["c1", "resistance"]

    assert [take.take for take in takes_of_record(takes, RESISTANCE)] == [2]


def test_a_new_take_without_readings_yet_is_of_record_beside_those_that_hold_rows(worksheet: Any) -> None:
    sheet = worksheet(r_winding_75degc_plate_ohm=2.5)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("resistance", take=2, retest_reason_text="leads loose")

    assert (sheet.found("resistance.limit").take, sheet.found("resistance.limit").verdict) == (1, "within")


def test_an_insulation_row_taken_again_leaves_the_others_standing(worksheet: Any) -> None:
    sheet = worksheet()
    for take, rows in ((1, ("secondary_earth", "primary_earth")), (2, ("secondary_earth",))):
        sheet.key("insulation", take=take, t_winding_degc=20)
        for row in rows:
            sheet.key("insulation", row, take=take, v_test_v=500, insulation_resistance_ohm=5e8)

    found = {entry.row: entry.take for entry in sheet.findings() if entry.procedure == "insulation"}

    assert found == {"secondary_earth": 2, "primary_earth": 1}


@pytest.mark.parametrize("given", [None, {}, 5])
def test_what_is_no_job_is_refused_by_name(given: Any) -> None:
    with pytest.raises(BadInput, match=r"job: .*: a Job is wanted"):
        judge(given)
