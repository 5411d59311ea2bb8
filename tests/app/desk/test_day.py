"""The day of one core: order, times, what is left out."""

from __future__ import annotations

import pytest

from app.desk import Address, Desk, Refusal
from app.desk.day import day_of, departures_of, moved
from ctcore.errors import BadInput
from ctcore.job import Core

TESTS = ("insulation", "resistance", "ratio", "excitation")


def core(desk: Desk, job_id: str) -> Core:
    return desk.view(job_id).job.positions[0].cts[0].cores[0]


def verdict(desk: Desk, job_id: str, procedure_id: str) -> str:
    its = core(desk, job_id).core_id
    return next(f.verdict for f in desk.view(job_id).findings[its] if f.procedure == procedure_id)


def test_tests_are_put_in_another_order_and_the_worksheet_follows(
    desk: Desk, job_id: str, core_id: str
) -> None:
    desk.order_tests(job_id, core_id, moved(TESTS, "excitation", -1))

    assert core(desk, job_id).procedures == ("insulation", "resistance", "excitation", "ratio")
    assert desk.trail(job_id, core_id)[-1].what_text == "tests put in order"
    desk.undo(job_id)
    assert core(desk, job_id).procedures == ()


@pytest.mark.parametrize("names", [("insulation",), (*TESTS, "ratio"), ("kick", *TESTS[1:])])
def test_an_order_that_loses_or_adds_a_test_is_refused(
    desk: Desk, job_id: str, core_id: str, names: tuple[str, ...]
) -> None:
    with pytest.raises(BadInput, match="names every planned test once"):
        desk.order_tests(job_id, core_id, names)


def test_a_test_left_out_is_not_applicable_with_its_reason(desk: Desk, job_id: str, core_id: str) -> None:
    desk.leave_out(job_id, core_id, "ratio", " no source on site ")
    (found,) = [one for one in desk.view(job_id).findings[core_id] if one.procedure == "ratio"]

    assert (found.verdict, found.text) == ("not applicable", "Left out: no source on site")
    line = desk.trail(job_id, core_id)[-1]
    assert (line.what_text, line.to_text) == ("test set not applicable", "no source on site")
    desk.undo(job_id)
    assert verdict(desk, job_id, "ratio") == "not tested"


def test_a_test_taken_up_again_waits_for_its_readings(desk: Desk, job_id: str, core_id: str) -> None:
    desk.leave_out(job_id, core_id, "ratio", "no source on site")
    desk.take_up(job_id, core_id, "ratio")

    assert verdict(desk, job_id, "ratio") == "not tested"
    assert core(desk, job_id).left_out == ()


def test_readings_of_a_test_that_was_left_out_are_judged_all_the_same(
    desk: Desk, job_id: str, core_id: str
) -> None:
    desk.leave_out(job_id, core_id, "insulation", "no tester")
    desk.key(
        job_id, Address(core_id, "insulation", 1, "secondary_earth", "insulation_resistance_ohm"), "1 kΩ"
    )

    assert verdict(desk, job_id, "insulation") != "not applicable"


@pytest.mark.parametrize(
    ("procedure_id", "reason", "why"),
    [("ratio", "  ", "with a reason"), ("kick", "spare", "not in the plan")],
)
def test_leaving_out_is_refused_without_reason_or_plan(
    desk: Desk, job_id: str, core_id: str, procedure_id: str, reason: str, why: str
) -> None:
    with pytest.raises(Refusal, match=why):
        desk.leave_out(job_id, core_id, procedure_id, reason)


def test_a_test_with_readings_cannot_be_left_out(desk: Desk, job_id: str, core_id: str) -> None:
    desk.key(job_id, Address(core_id, "resistance", 1, "method", "t_winding_degc"), "20")

    with pytest.raises(Refusal, match="has readings"):
        desk.leave_out(job_id, core_id, "resistance", "no time")


def test_a_copied_plate_leaves_nothing_out_on_another_core(desk: Desk, job_id: str, core_id: str) -> None:
    desk.leave_out(job_id, core_id, "ratio", "no source on site")
    first, second, *_ = desk.view(job_id).job.positions[0].cts
    desk.copy_plate(job_id, first.ct_id, [second.ct_id])

    assert desk.view(job_id).job.positions[0].cts[1].cores[0].left_out == ()


def test_the_day_says_when_a_test_was_done_and_what_is_next(desk: Desk, job_id: str, core_id: str) -> None:
    desk.key(job_id, Address(core_id, "insulation", 1, "method", "t_winding_degc"), "20")
    desk.leave_out(job_id, core_id, "resistance", "no meter")
    lines = day_of(desk.view(job_id), core_id)

    assert "–" in lines[0].when_text
    assert lines[0].took_text == "under 1 min"
    assert [line.is_next for line in lines] == [False, False, True, False]
    assert lines[2].when_text == lines[2].took_text == ""


def test_a_departure_is_told_on_the_day(desk: Desk, job_id: str, core_id: str) -> None:
    desk.key(job_id, Address(core_id, "resistance", 1, "method", "t_winding_degc"), "20")
    assert departures_of(desk.view(job_id), core_id) == ()
    desk.key(job_id, Address(core_id, "insulation", 1, "method", "t_winding_degc"), "20")

    assert "before insulation" in departures_of(desk.view(job_id), core_id)[0]
