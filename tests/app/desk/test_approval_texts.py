"""What decisions say on paper and in an answer, and what binds them."""

from __future__ import annotations

import dataclasses

from app.desk.approval_texts import (
    concessions_text,
    decision_of,
    decisions_digest,
    is_bound,
    sent_back_text,
)
from app.desk.exceptions import ExceptionLine, expired_calibrations
from ctcore.job import CT, Core, Decision, Deviation, Header, Instrument, Job, Position
from tests.app.report.making import reading

CORES = tuple(Core(core_id=f"k{number}", number=number, class_text="", taps=()) for number in range(1, 7))
JOB = Job(
    job_id="j",
    header=Header(number_text="1"),
    positions=(
        Position(position_id="p", name_text="S1", cts=(CT(ct_id="c", phase_text="L1", cores=CORES),)),
    ),
)
MADE = Deviation(
    deviation_id="d",
    core_id="k1",
    procedure_id="ratio",
    found_text="outside: much",
    decision_text="clean link 7",
    finding_key="k1/ratio.error/1/t/e",
    decision="sent_back",
)


def line(number: int, decision: Decision, reason_text: str) -> ExceptionLine:
    return ExceptionLine(
        key=f"k{number}/ratio.error/1/t/e",
        core_id=f"k{number}",
        procedure_id="ratio",
        verdict="outside",
        found_text="outside: much",
        allowed=("sent_back", "concession"),
        decision=decision,
        reason_text=reason_text,
    )


def test_lines_with_one_reason_stand_together_and_long_lists_are_counted() -> None:
    lines = [line(number, "concession", "lead known") for number in range(1, 7)]

    assert concessions_text(JOB, lines, "M. O.") == (
        "1. S1 L1 core 1, ratio; S1 L1 core 2, ratio; S1 L1 core 3, ratio; S1 L1 core 4, ratio and 2 more: "
        "lead known (M. O.)"
    )


def test_each_reason_has_its_number() -> None:
    lines = [line(1, "concession", "lead known"), line(2, "concession", "owner agreed")]

    assert concessions_text(JOB, lines, "M. O.").split("\n") == [
        "1. S1 L1 core 1, ratio: lead known (M. O.)",
        "2. S1 L1 core 2, ratio: owner agreed (M. O.)",
    ]


def test_a_line_of_the_whole_job_is_named_by_what_was_found() -> None:
    old = dataclasses.replace(line(9, "concession", "sent away"), core_id="", found_text="Ohmmeter: ended.")

    assert concessions_text(JOB, [old], "M. O.") == "1. Ohmmeter: ended: sent away (M. O.)"


def test_an_approval_says_whether_something_was_granted() -> None:
    assert decision_of([line(1, "accepted", "")]) == "approved"
    assert decision_of([line(1, "accepted", ""), line(2, "concession", "x")]) == "approved with concessions"


def test_what_goes_back_is_bound_to_every_decision() -> None:
    job = dataclasses.replace(JOB, deviations=(MADE,))
    told = sent_back_text(job, [line(1, "sent_back", "clean link 7")], "Nearly.")

    assert told.split("\n")[:2] == ["Nearly.", "S1 L1 core 1, ratio: clean link 7"]
    assert is_bound(told, [MADE])
    assert not is_bound(told, [dataclasses.replace(MADE, decision_text="never mind")])
    assert not is_bound(told, [])


def test_the_order_of_decisions_does_not_matter_to_what_binds_them() -> None:
    other = dataclasses.replace(MADE, finding_key="k2/ratio.error/1/t/e", decision="accepted")

    assert decisions_digest([MADE, other]) == decisions_digest([other, MADE])


def test_a_calibration_without_a_day_is_not_called_ended() -> None:
    instruments = tuple(
        Instrument(instrument_id=name, name_text=name, due_on=due)
        for name, due in (("m1", None), ("m2", "soon"), ("m3", "2026-10-13"), ("m4", "2026-10-12"))
    )
    readings = tuple(
        reading("k1", "resistance", name, "r_measured_ohm", "2.1", instrument_id=name)
        for name in ("m1", "m2", "m3", "m4")
    )
    job = dataclasses.replace(JOB, instruments=instruments, readings=readings)

    assert [(found.name_text, count) for found, count in expired_calibrations(job)] == [("m4", 1)]


def test_a_reading_without_a_time_ends_no_calibration() -> None:
    instrument = Instrument(instrument_id="m1", name_text="m1", due_on="2026-10-12")
    entry = reading("k1", "resistance", "t", "r_measured_ohm", "2.1", instrument_id="m1", at_utc="some day")
    job = dataclasses.replace(JOB, instruments=(instrument,), readings=(entry,))

    assert list(expired_calibrations(job)) == []
