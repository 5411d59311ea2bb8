"""Lines to decide, decisions with their reasons, comments, the ends of a job, and readiness."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from app.desk import Refusal
from app.desk.exceptions import exceptions_of, key_of
from app.record.revision import Record, from_bytes, to_bytes
from ctcore.job import METHOD_ROW, Instrument
from tests.app.desk import making
from tests.app.desk.making import Seat


def only_key(seat: Seat, job_id: str) -> str:
    (line,) = seat.desk.exceptions(job_id)
    return line.key


def test_a_line_outside_waits_for_a_decision(approver: Seat, waiting: str) -> None:
    (line,) = approver.desk.exceptions(waiting)

    assert (line.verdict, line.settled, line.allowed) == ("outside", False, ("sent_back", "concession"))
    assert line.found_text.startswith("outside: Winding resistance at 75 °C 3.527")


def test_what_is_outside_is_not_accepted_as_it_is(approver: Seat, waiting: str) -> None:
    with pytest.raises(Refusal, match="Outside cannot be accepted as it is"):
        approver.desk.decide(waiting, only_key(approver, waiting), "accepted", "looks fine")


@pytest.mark.parametrize(
    ("decision", "words"), [("concession", "A concession has"), ("sent_back", "What is")]
)
def test_a_decision_against_the_line_has_a_reason(
    approver: Seat, waiting: str, decision: str, words: str
) -> None:
    with pytest.raises(Refusal, match=words):
        approver.desk.decide(waiting, only_key(approver, waiting), decision, " ")  # type: ignore[arg-type]


def test_a_concession_stands_with_name_reason_and_time(approver: Seat, waiting: str) -> None:
    key = only_key(approver, waiting)
    change = approver.desk.decide(waiting, key, "concession", "lead known", "until the next outage")

    (line,) = approver.desk.exceptions(waiting)
    assert change.note_text == "Concession by M. Oskarrin."
    assert (line.decision, line.reason_text, line.person_id) == ("concession", "lead known", "m-oskarrin")
    assert line.at_utc


def test_deciding_again_replaces_what_stood_and_the_trail_keeps_both(approver: Seat, waiting: str) -> None:
    key = only_key(approver, waiting)
    approver.desk.decide(waiting, key, "sent_back", "clean link 7")
    approver.desk.decide(waiting, key, "concession", "lead known", "until the next outage")

    assert len(approver.desk.view(waiting).job.deviations) == 1
    told = [line.to_text for line in approver.desk.trail(waiting) if line.what_text == "decided"]
    assert told == ["sent back: clean link 7", "concession: lead known; holds until the next outage"]


def test_a_decision_survives_the_closing_of_the_job(approver: Seat, waiting: str) -> None:
    approver.desk.decide(
        waiting, only_key(approver, waiting), "concession", "lead known", "until the next outage"
    )
    approver.desk.close_job(waiting)

    assert [line.decision for line in approver.desk.exceptions(waiting)] == ["concession"]


def test_a_decision_falls_where_the_line_says_something_else(approver: Seat, waiting: str) -> None:
    approver.desk.decide(
        waiting, only_key(approver, waiting), "concession", "lead known", "until the next outage"
    )
    view = approver.desk.view(waiting)
    (found,) = [one for its in view.findings.values() for one in its if one.verdict == "outside"]
    other = dataclasses.replace(found, text="Winding resistance at 75 °C 9.9 Ω")

    assert key_of(other) == key_of(found)
    assert [line.settled for line in exceptions_of(view.job, [other])] == [False]


def test_who_tested_does_not_decide(tester: Seat, handed_in: tuple[str, Path]) -> None:
    job_id, _ = handed_in
    with pytest.raises(Refusal, match=r"T\. Adder tested this job"):
        tester.desk.decide(job_id, only_key(tester, job_id), "concession", "mine", "until the next outage")


def test_nothing_is_decided_before_the_job_is_handed_in(approver: Seat) -> None:
    job_id = making.complete_job(approver.desk, ohms="2.90")
    with pytest.raises(Refusal, match="the job is being tested"):
        approver.desk.decide(
            job_id, only_key(approver, job_id), "concession", "early", "until the next outage"
        )


def test_a_line_that_is_not_there_is_not_decided(approver: Seat, waiting: str) -> None:
    with pytest.raises(Refusal, match="no such line"):
        approver.desk.decide(waiting, ["elsewhere"], "concession", "lead known", "until the next outage")


def test_who_decides_has_a_name(approver: Seat, waiting: str) -> None:
    approver.desk.settings.change(person_name_text="")
    with pytest.raises(Refusal, match="Say first who you are"):
        approver.desk.decide(
            waiting, only_key(approver, waiting), "concession", "lead known", "until the next outage"
        )


def test_a_comment_is_pinned_to_its_line(approver: Seat, waiting: str) -> None:
    key = only_key(approver, waiting)
    change = approver.desk.comment(waiting, key, " Measure on the CT's own terminals. ")

    (remark,) = change.view.job.remarks
    assert (remark.finding_key, remark.text) == (key, "Measure on the CT's own terminals.")


def test_a_comment_says_something_about_a_line(approver: Seat, waiting: str) -> None:
    with pytest.raises(Refusal, match="nothing to remark"):
        approver.desk.comment(waiting, only_key(approver, waiting), " ")
    with pytest.raises(Refusal, match="no such line"):
        approver.desk.comment(waiting, "elsewhere", "why?")


def test_who_tested_does_not_comment_while_the_job_is_elsewhere(
    tester: Seat, handed_in: tuple[str, Path]
) -> None:
    job_id, _ = handed_in
    with pytest.raises(Refusal, match=r"with M\. Oskarrin since 4 May 2031"):
        tester.desk.comment(job_id, only_key(tester, job_id), "why?")


def test_a_void_job_says_so_and_takes_nothing_more(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    change = tester.desk.void(job_id, "wrong bay")

    assert change.view.job.state == "void"
    assert change.view.read_only_reason == "This job is void. Nothing in it changes any more."
    with pytest.raises(Refusal, match="Nothing in it changes"):
        tester.desk.comment(job_id, "any", "late")


def test_an_end_has_a_reason(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    with pytest.raises(Refusal, match="with a reason"):
        tester.desk.void(job_id, "")


def test_a_record_with_a_decision_reads_back_and_one_without_spells_no_field_of_it(
    tester: Seat, handed_in: tuple[str, Path]
) -> None:
    job_id, _ = handed_in
    data = tester.store.revisions(job_id)[0].record_bytes
    record = from_bytes(data)
    decided = with_decision(record)

    assert b"finding_key" not in data
    assert from_bytes(to_bytes(decided)) == decided


def with_decision(record: Record) -> Record:
    from ctcore.job import Deviation

    made = Deviation(
        deviation_id="d", core_id="", procedure_id="", found_text="x", finding_key="k", decision="accepted"
    )
    return dataclasses.replace(record, job=dataclasses.replace(record.job, deviations=(made,)))


# Why a job is not ready to be handed in


def hand_in_refusal(seat: Seat, job_id: str) -> str:
    with pytest.raises(Refusal) as refused:
        seat.desk.hand_in(job_id, making.PASSPHRASE, making.APPROVER)
    return refused.value.sentence


def method_cell(seat: Seat, job_id: str, quantity_id: str) -> making.Address:
    ohms = making.ohms_cell(seat.desk, job_id)
    return dataclasses.replace(ohms, row=METHOD_ROW, quantity_id=quantity_id)


def test_a_missing_method_field_holds_the_job_up_until_a_remark_says_why(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    address = method_cell(tester, job_id, "t_winding_source")
    tester.desk.strike_cell(job_id, address, "unsure")

    assert hand_in_refusal(tester, job_id) == (
        "Hand in is not possible yet: Line side L1 core 1, resistance: winding temperature known by is not "
        "stated, and no remark says why."
    )
    tester.desk.remark(job_id, address.core_id, "resistance", "no probe on site")
    assert tester.desk.hand_in(job_id, making.PASSPHRASE, making.APPROVER).view.job.state == "handed_in"


def test_a_planned_test_without_readings_holds_the_job_up(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    ct = tester.desk.view(job_id).job.positions[0].cts[0]
    cores = tuple(dataclasses.replace(core, procedures=("resistance", "ratio")) for core in ct.cores)
    tester.desk.set_ct(job_id, dataclasses.replace(ct, cores=cores))

    assert "core 1, ratio: not tested, and no remark says why" in hand_in_refusal(tester, job_id)


def test_a_text_that_is_no_number_holds_the_job_up(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    tester.desk.key(job_id, making.ohms_cell(tester.desk, job_id), "2.1x")

    assert "“2.1x” is kept, but it gives no value" in hand_in_refusal(tester, job_id)


def test_two_readings_in_one_field_hold_the_job_up(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    job = tester.store.load(job_id)
    first = next(entry for entry in job.readings if entry.quantity_id == "r_measured_ohm")
    second = dataclasses.replace(first, reading_id="again", device_id="elsewhere", device_seq=1)
    tester.store.append(job_id, tester.desk._act("merge", job, {}, None, None), readings=[second])
    tester.desk.close_job(job_id)

    assert "has two readings that both stand; say which holds" in hand_in_refusal(tester, job_id)


def test_a_missing_column_of_a_row_holds_the_job_up(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    tester.desk.strike_cell(job_id, making.ohms_cell(tester.desk, job_id), "slip")

    assert "resistance" in hand_in_refusal(tester, job_id)


def test_a_job_without_readings_is_not_handed_in(tester: Seat) -> None:
    from ctcore.job import Header

    job_id = tester.desk.new_job(Header(number_text="79")).view.job.job_id

    assert hand_in_refusal(tester, job_id) == "Hand in is not possible yet: there are no readings yet."


def test_an_ended_calibration_wants_a_concession(tester: Seat, approver: Seat, tmp_path: Path) -> None:
    job_id = making.complete_job(tester.desk)
    address = making.ohms_cell(tester.desk, job_id)
    tester.desk.set_instrument(
        job_id, Instrument(instrument_id="m1", name_text="Ohmmeter 12", due_on="2031-05-03")
    )
    tester.desk.use_instrument(job_id, address.core_id, "resistance", 1, "r_measured_ohm", "m1")
    path = tmp_path / "job"
    tester.desk.hand_in(job_id, making.PASSPHRASE, making.APPROVER, path)
    approver.desk.take_in(path)

    line = approver.desk.exceptions(job_id)[-1]
    assert line.found_text == "Ohmmeter 12: calibration ended 2031-05-03; 1 reading after it."
    with pytest.raises(Refusal, match="An instrument with an ended calibration cannot be accepted"):
        approver.desk.decide(job_id, line.key, "accepted")
    (approve,) = [step for step in approver.desk.steps(job_id) if step.verb == "approve"]
    assert approve.why_not[-1] == (
        "Ohmmeter 12: calibration ended 2031-05-03; 1 reading after it, which wants a concession"
    )
