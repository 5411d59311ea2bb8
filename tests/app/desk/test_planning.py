"""The plan by class and duty, taken over."""

from __future__ import annotations

import dataclasses

import pytest

from app.desk import Address, Desk, Refusal
from ctcore.errors import BadInput
from ctcore.job import Core
from tests.app.desk import making


def cores(desk: Desk, job_id: str) -> list[Core]:
    return [core for ct in desk.view(job_id).job.positions[0].cts for core in ct.cores]


def test_an_offered_plan_is_kept_on_the_cores_named_and_on_no_other(desk: Desk, job_id: str) -> None:
    first, *others = cores(desk, job_id)
    change = desk.offer_plan(job_id, [first.core_id])

    assert cores(desk, job_id)[0].procedures == (
        "visual", "links", "insulation", "resistance", "demagnetising", "ratio", "excitation", "burden",
        "links_back",
    )  # fmt: skip
    assert cores(desk, job_id)[1:] == others
    assert change.note_text == "Tests are planned by class and duty for 1 core."


def test_the_duty_on_the_plate_decides_what_is_planned(desk: Desk, job_id: str) -> None:
    ct = desk.view(job_id).job.positions[0].cts[0]
    spare = dataclasses.replace(ct.cores[0], duty_text="spare")
    desk.set_ct(job_id, dataclasses.replace(ct, cores=(spare, *ct.cores[1:])))
    desk.offer_plan(job_id, [spare.core_id])

    assert "burden" not in cores(desk, job_id)[0].procedures


def test_a_test_that_was_measured_stays_in_the_plan(desk: Desk, job_id: str, core_id: str) -> None:
    tap_id = cores(desk, job_id)[0].taps[0].tap_id
    desk.key(job_id, Address(core_id, "kick", 1, tap_id, "kick_make"), "up")
    desk.offer_plan(job_id, [core_id])

    assert "kick" in cores(desk, job_id)[0].procedures


def test_undo_and_redo_take_a_plan_back_and_put_it_again(desk: Desk, job_id: str, core_id: str) -> None:
    desk.offer_plan(job_id, [core_id])
    desk.undo(job_id)
    assert cores(desk, job_id)[0].procedures == ()
    desk.redo(job_id)
    assert "visual" in cores(desk, job_id)[0].procedures


def test_a_plan_is_in_the_trail_of_its_core(desk: Desk, job_id: str, core_id: str) -> None:
    desk.offer_plan(job_id, [core_id])
    line = desk.trail(job_id, core_id)[-1]

    assert line.what_text == "tests planned"
    assert "Visual" not in line.from_text
    assert "Visual" in line.to_text

    others = desk.trail(job_id, cores(desk, job_id)[1].core_id)
    assert all(entry.what_text != "tests planned" for entry in others)


def test_a_plan_that_is_taken_already_writes_nothing(desk: Desk, job_id: str, core_id: str) -> None:
    desk.offer_plan(job_id, [core_id])
    before = len(desk.trail(job_id))
    change = desk.offer_plan(job_id, [core_id])

    assert change.note_text == "The plan is what class and duty ask for already."
    assert len(desk.trail(job_id)) == before


def test_a_core_of_no_job_is_refused(desk: Desk, job_id: str) -> None:
    with pytest.raises(BadInput, match="no core of that name"):
        desk.offer_plan(job_id, ["nobody"])


def test_a_frozen_job_is_not_planned_again(desk: Desk) -> None:
    job_id = making.complete_job(desk)
    desk.freeze(job_id)

    with pytest.raises(Refusal, match="frozen"):
        desk.offer_plan(job_id, [cores(desk, job_id)[0].core_id])
