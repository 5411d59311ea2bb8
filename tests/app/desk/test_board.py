"""The board: a box per core and test, what is said under them, what comes next and what is missing."""

from __future__ import annotations

import dataclasses
from datetime import date
from pathlib import Path

import pytest

from app.desk import Address, Desk, View
from app.desk.board import board, finding_of, in_hand_ratio, missing, name_of, next_steps, said
from ctcore.findings import Finding
from ctcore.job import Instrument


@pytest.fixture
def view(desk: Desk) -> View:
    """The sample bay: three phases, two cores, all tests keyed."""
    import samples

    found = samples.sample("line_bay")
    path = Path(str(found.file))
    return desk.import_job(path).view


def test_every_core_has_a_box_for_every_test(view: View) -> None:
    shown = board(view)
    assert len(list(shown.boxes())) == 6 * len(shown.tests)
    assert [line.is_position for line in shown.lines] == [True, False, False]


def test_counts_are_those_of_the_boxes(view: View) -> None:
    counts = board(view).counts()
    assert (counts["outside"], sum(counts.values())) == (1, 24)


def test_a_row_is_named_by_class_and_told_apart_by_burden_and_ratio(view: View) -> None:
    line = board(view).lines[1]
    assert (line.words, line.second) == ("1 5P20", "15 VA, 600–300/1")


def test_an_exception_stands_in_words_with_its_phase(view: View) -> None:
    group = board(view).lines[2].boxes[0]
    assert (said(view, group).words, said(view, group).strong) == ("L3 outside", True)


def test_under_within_stands_the_least_that_is_in_hand(view: View) -> None:
    group = board(view).lines[1].boxes[1]
    shares = [
        in_hand_ratio(finding)
        for box in group
        if box is not None
        for finding in view.findings[box.core_id]
        if finding.procedure == "resistance"
    ]
    least = min(share for share in shares if share is not None)
    assert said(view, group).words == f"{int(100 * least)} % in hand"


@pytest.mark.parametrize(
    ("margin", "limit", "share"),
    [(0.6, 3.0, 0.2), (57.0e6, 1.0e6, 57.0), (-0.1, -0.5, 0.2), (None, 3.0, None), (0.1, 0.0, None)],
)
def test_what_is_in_hand_is_a_share_of_the_limit(
    margin: float | None, limit: float, share: float | None
) -> None:
    finding = Finding("c", "r_winding_75degc_ohm", 1.0, limit, margin, "within", "plate", "resistance.limit")
    assert in_hand_ratio(finding) == (None if share is None else pytest.approx(share))


def test_what_is_not_within_has_nothing_in_hand() -> None:
    finding = Finding("c", "r_winding_75degc_ohm", 3.1, 3.0, 0.1, "refer", "plate", "resistance.limit")
    assert in_hand_ratio(finding) is None


def test_a_stale_box_says_so_and_is_not_judged_for_it(view: View) -> None:
    group = board(view).lines[1].boxes[0]
    stale = tuple(dataclasses.replace(box, stale=True) for box in group if box is not None)
    blind = dataclasses.replace(view, findings={})
    assert said(blind, stale).words == "being judged again"


def test_what_the_worksheet_stands_on_is_being_keyed(desk: Desk, job_id: str, core_id: str) -> None:
    view = desk.view(job_id)
    group = board(view).lines[1].boxes[0]
    assert said(view, group, here=(core_id, "insulation")).words == "L1 being keyed"


def test_only_rows_with_a_verdict_are_left_under_their_position(view: View) -> None:
    shown = board(view).only("outside")
    assert [line.words for line in shown.lines] == ["Line side of the breaker", "2 0.5S FS5"]
    assert board(view).only("not tested").lines == ()


def test_a_test_that_is_not_planned_is_not_applicable(desk: Desk, job_id: str) -> None:
    ct = desk.view(job_id).job.positions[0].cts[0]
    first = dataclasses.replace(ct.cores[0], procedures=("ratio",))
    desk.set_ct(job_id, dataclasses.replace(ct, cores=(first, *ct.cores[1:])))
    boxes = board(desk.view(job_id)).lines[1].boxes[0]
    assert [box.verdict for box in boxes if box is not None] == ["not applicable", "not tested", "not tested"]


def test_the_box_of_a_core_that_is_not_there_is_none(desk: Desk, job_id: str) -> None:
    ct = desk.view(job_id).job.positions[0].cts[1]
    desk.set_ct(job_id, dataclasses.replace(ct, cores=ct.cores[:1]))
    boxes = board(desk.view(job_id)).lines[2].boxes[0]
    assert [box is None for box in boxes] == [False, True, False]


def test_what_was_begun_comes_before_what_is_outside_and_what_is_new(view: View) -> None:
    assert [words for _, words in next_steps(board(view))] == [
        "Line side of the breaker L3 core 2: insulation is outside"
    ]


def test_without_readings_the_first_tests_come_next(desk: Desk, job_id: str) -> None:
    words = [words for _, words in next_steps(board(desk.view(job_id)))]
    assert words[0] == "Line side L1 core 1: insulation comes next"


def test_what_comes_next_follows_the_order_that_was_chosen_for_a_core(desk: Desk, job_id: str) -> None:
    first, *others = [box.core_id for box in board(desk.view(job_id)).boxes() if box.number == 1][:3]
    plan = [box.procedure_id for box in board(desk.view(job_id)).boxes() if box.core_id == first]
    for core_id in (first, *others):
        desk.order_tests(job_id, core_id, [plan[-1], *plan[:-1]])
    steps = next_steps(board(desk.view(job_id)))
    assert [box.procedure_id for box, _ in steps] == [plan[-1]] * 2


def test_expired_instruments_and_open_boxes_are_missing(desk: Desk, job_id: str) -> None:
    meter = Instrument(instrument_id="a", name_text="Ammeter 4", due_on="2031-05-03")
    view = desk.set_instrument(job_id, meter).view
    assert missing(view, board(view), date(2031, 5, 4)) == [
        "Ammeter 4: calibration ended 2031-05-03",
        "24 boxes not tested yet",
        "3 transformers not compared with the plate",
    ]


def test_the_last_day_of_a_calibration_counts(desk: Desk, job_id: str) -> None:
    meter = Instrument(instrument_id="a", name_text="Ammeter 4", due_on="2031-05-04")
    view = desk.set_instrument(job_id, meter).view
    assert "Ammeter" not in missing(view, board(view), date(2031, 5, 4))[0]


def test_a_box_reads_back_its_place_and_its_worst_finding(view: View) -> None:
    box = next(box for box in board(view).boxes() if box.verdict == "outside")
    finding = finding_of(view, box)
    assert name_of(box) == "Line side of the breaker, L3, core 2, insulation resistance"
    assert finding is not None
    assert finding.verdict == "outside"


def test_links_that_wait_to_be_said_as_left_come_after_the_other_tests(
    desk: Desk, job_id: str, core_id: str
) -> None:
    desk.offer_plan(job_id, [core_id])
    desk.key(job_id, Address(core_id, "links", 1, "earth", "link_found"), "closed")
    steps = [words for _, words in next_steps(board(desk.view(job_id)), most=200)]

    assert "comes next" in steps[0]
    assert steps[-1].endswith("links as left, to close the day")
