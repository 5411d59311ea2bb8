"""The order of the sheet: which cores share a page."""

from __future__ import annotations

import dataclasses

from app.report.outline import Outline, outline_of, procedures_shown
from ctcore.job import Job
from ctcore.judge import judge
from ctcore.procedures import EXCITATION, INSULATION, RESISTANCE
from tests.app.report.making import reading, set_of


def _outline(job: Job) -> Outline:
    return outline_of(job, judge(job), derived={}, rejudged=None)


def test_phases_stand_side_by_side_in_the_order_of_the_job() -> None:
    (core_set,) = _outline(set_of(("L3", "L1", "L2"))).sets
    assert [member.label for member in core_set.members] == ["L1", "L2", "L3"]


def test_more_than_three_are_parted() -> None:
    sets = _outline(set_of(("L1", "L2", "L3", "N"))).sets
    assert [len(core_set.members) for core_set in sets] == [3, 1]


def test_the_absent_phase_is_known() -> None:
    (core_set,) = _outline(set_of(("L1", "L3"))).sets
    assert core_set.absent == ("L2",)


def test_a_box_without_findings_that_is_not_planned_is_not_applicable() -> None:
    job = set_of(("L1",))
    position = job.positions[0]
    core = dataclasses.replace(position.cts[0].cores[0], procedures=("excitation",))
    ct = dataclasses.replace(position.cts[0], cores=(core,))
    outline = _outline(dataclasses.replace(job, positions=(dataclasses.replace(position, cts=(ct,)),)))
    assert outline.box(outline.sets[0].members[0], INSULATION) == "not applicable"
    assert procedures_shown(outline, outline.sets[0]) == [EXCITATION]


def _retested(*rows: str) -> Outline:
    """Two pairs read in take 1, then some of them again."""
    job = set_of(("L1",))
    made = [("S1-S2", "2.11", 1), ("S1-S3", "4.22", 1), *((row, "2.2", 2) for row in rows)]
    readings = [
        dataclasses.replace(
            reading("L1", "resistance", row, "r_measured_ohm", text, take=take), reading_id=f"x{number}"
        )
        for number, (row, text, take) in enumerate(made)
    ]
    kept = [entry for entry in job.readings if entry.procedure_id != "resistance"]
    return _outline(dataclasses.replace(job, readings=(*kept, *readings)))


def test_a_retest_of_one_row_stands_beside_the_take_that_holds_the_others() -> None:
    outline = _retested("S1-S2")
    performances = outline.performances(outline.sets[0], RESISTANCE)

    rows = [[row.row for row in take.rows] for one in performances for take in one.takes if take]

    assert rows == [["S1-S3"], ["S1-S2"]]


def test_only_the_replaced_rows_of_a_take_are_listed_as_earlier() -> None:
    outline = _retested("S1-S2")
    core_id = outline.sets[0].members[0].core.core_id

    earlier = outline.earlier_takes(core_id, RESISTANCE)

    assert [(take.take, [row.row for row in take.rows]) for take in earlier] == [(1, ["S1-S2"])]


def test_a_take_of_which_every_row_was_replaced_is_earlier_as_a_whole() -> None:
    outline = _retested("S1-S2", "S1-S3")
    core_id = outline.sets[0].members[0].core.core_id

    assert [len(take.rows) for take in outline.earlier_takes(core_id, RESISTANCE)] == [2]
    assert len(outline.performances(outline.sets[0], RESISTANCE)) == 1
