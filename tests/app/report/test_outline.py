"""The order of the sheet: which cores share a page."""

from __future__ import annotations

import dataclasses

from app.report.outline import Outline, outline_of, procedures_shown
from ctcore.job import Job
from ctcore.judge import judge
from ctcore.procedures import EXCITATION, INSULATION
from tests.app.report.making import set_of


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
