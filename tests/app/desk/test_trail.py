"""The trail in words: per job, per core, per field; clocks that went back."""

from __future__ import annotations

import dataclasses
from datetime import timedelta

from app.desk import Desk
from app.desk.trail import WHAT, job_trail
from app.record.act import Act
from app.record.chain import FIRST_PREV, next_event
from ctcore.job import Header, Job, LimitOverride
from tests.app.desk import making
from tests.app.desk.making import Clock, Seat

JOB = Job(job_id="j", header=Header(number_text="1"))


def test_a_field_tells_what_stood_in_it_and_why_it_changed(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    address = making.ohms_cell(tester.desk, job_id)
    tester.desk.key(job_id, address, "2.01")
    tester.desk.strike_cell(job_id, address, "clip fell off")

    told = [
        (line.what_text, line.from_text, line.to_text, line.note_text)
        for line in tester.desk.trail(job_id, address=address)
    ]
    assert told == [
        ("read", "", "2.10", ""),
        ("corrected", "2.10", "2.01", ""),
        ("struck", "2.01", "", "clip fell off"),
    ]


def test_a_withdrawn_reading_is_told_as_undone(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    address = making.ohms_cell(tester.desk, job_id)
    tester.desk.undo(job_id)

    assert [line.what_text for line in tester.desk.trail(job_id, address=address)] == ["read", "undone"]


def test_a_line_says_who_when_and_on_which_device(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    (line,) = tester.desk.trail(job_id, address=making.ohms_cell(tester.desk, job_id))

    assert line.who_text == "T. Adder"
    assert line.when_text.startswith("4 May 2031 08:00:")
    assert line.when_text.endswith("+00:00")
    assert line.device_id == tester.store.device_id
    assert line.where_text.startswith("Line side L1 core 1, resistance, take 1, row ")


def test_a_core_is_told_apart_from_its_neighbours(desk: Desk, job_id: str, core_id: str) -> None:
    other = desk.view(job_id).job.positions[0].cts[1].cores[0].core_id
    desk.remark(job_id, core_id, "ratio", "first")
    desk.remark(job_id, other, "ratio", "second")

    assert [line.to_text for line in desk.trail(job_id, core_id)] == ["first"]


def test_a_correction_keeps_what_stood_before_in_its_event(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    tester.desk.key(job_id, making.ohms_cell(tester.desk, job_id), "2.01")

    line = tester.desk.trail(job_id)[-1]
    assert (line.what_text, line.from_text, line.to_text) == ("corrected", "2.10", "2.01")


def test_a_replaced_limit_is_told_with_reason_and_name(desk: Desk, job_id: str) -> None:
    override = LimitOverride(
        rule="insulation.secondary",
        core_id="",
        limit_low=2e6,
        limit_high=None,
        reason_text="owner's rule",
        person_text="M. Oskarrin",
    )
    references = dataclasses.replace(desk.view(job_id).job.references, limit_overrides=(override,))
    desk.set_references(job_id, references)

    line = desk.trail(job_id)[-1]
    assert line.what_text == "limit replaced"
    assert line.to_text == "insulation.secondary, 2e+06 to open, owner's rule, M. Oskarrin"


def test_a_caution_that_was_read_is_told(desk: Desk, job_id: str, core_id: str) -> None:
    desk.acknowledge(job_id, core_id, "excitation", "excitation.voltage", "412 V on the winding")

    line = desk.trail(job_id, core_id)[-1]
    assert (line.what_text, line.to_text) == ("caution read", "412 V on the winding")


def test_a_clock_that_went_back_by_minutes_is_noted(tester: Seat, clock: Clock) -> None:
    job_id = making.complete_job(tester.desk)
    clock.now -= timedelta(minutes=30)
    tester.desk.remark(job_id, "", "", "after the clock was set")

    line = tester.desk.trail(job_id)[-1]
    assert (line.to_text, line.note_text) == ("after the clock was set", "the clock had gone back by 30 min")


def test_a_clock_that_went_back_by_seconds_is_not_worth_a_word(tester: Seat, clock: Clock) -> None:
    job_id = making.complete_job(tester.desk)
    clock.now -= timedelta(seconds=90)
    tester.desk.remark(job_id, "", "", "after the clock was set")

    assert tester.desk.trail(job_id)[-1].note_text == ""


def test_an_act_of_a_newer_program_is_told_as_it_is_named() -> None:
    act = Act(
        "weighed", "p", "A. Tester", "2031-05-04T08:42:07Z", 120, "Etc/UTC", {}, None, {"signature": "x"}
    )
    event = next_event(FIRST_PREV, 1, "d", act)

    (line,) = job_trail(JOB, [event])
    assert (line.what_text, line.where_text, line.to_text) == ("weighed", "whole job", "")
    assert line.when_text == "4 May 2031 10:42:07 +02:00"


def test_times_that_are_none_are_shown_as_they_stand() -> None:
    act = Act("remark", "p", "A. Tester", "some day", 0, "Etc/UTC")
    first = next_event(FIRST_PREV, 1, "d", act)
    second = next_event(first.head, 2, "d", act)

    assert [line.when_text for line in job_trail(JOB, [first, second])] == ["some day", "some day"]


def test_every_word_is_said_once() -> None:
    assert len(set(WHAT.values())) == len(WHAT)


def test_every_act_that_a_verb_writes_has_its_word() -> None:
    import re
    from pathlib import Path

    import app.desk
    from app.desk import journey

    folder = Path(str(app.desk.__file__)).parent
    written = {
        kind
        for path in folder.glob("*.py")
        for kind in re.findall(r'_act\(\s*"(\w+)"', path.read_text(encoding="utf-8"))
    }
    moved = {journey.SIGN, journey.TAKE_IN, journey.SEND_BACK, journey.ANSWER, journey.TAKE_BACK}

    assert written | moved | {journey.APPROVE, journey.ISSUE} <= set(WHAT)
