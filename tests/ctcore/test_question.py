"""What two computers say differently keeps a core from being judged until somebody has answered."""

from __future__ import annotations

import dataclasses

import pytest

from ctcore.job import Job, Reading
from ctcore.judge import judge
from ctcore.question import Answered, Question, Side
from tests.app.desk.merging.laptops import FIRST


def question(part_id: str, *fields: str) -> Question:
    side = Side(person_text="A", at_utc="t", utc_offset_minutes=0, events=(), body_text="{}")
    return Question(question_id="q", part_id=part_id, fields=fields, sides=(side, side))


def verdicts(*questions: Question) -> set[tuple[str, str]]:
    reading = Reading(
        reading_id="r",
        core_id="k1",
        procedure_id="insulation",
        take=1,
        row="core to earth",
        quantity_id="insulation_resistance_ohm",
        as_typed_text="5e8",
        value_text="5e8",
        person_id="p",
        at_utc="2031-05-04T08:00:00Z",
        utc_offset_minutes=0,
        device_id="d",
        device_seq=1,
    )
    job: Job = dataclasses.replace(FIRST, readings=(reading,), questions=questions)
    return {(one.rule, one.verdict) for one in judge(job) if one.procedure == "insulation"}


REFERRED = {("insulation.plate", "refer")}


@pytest.mark.parametrize("part_id", ["ct:t1", "position:p1", "references"])
def test_an_open_question_about_plate_or_limits_is_judged_refer(part_id: str) -> None:
    assert verdicts(question(part_id, "cores")) == REFERRED


def test_the_rated_frequency_counts_and_the_weather_does_not() -> None:
    assert verdicts(question("header", "frequency_rated_hz")) == REFERRED
    assert verdicts(question("header", "header/weather_text")) == verdicts() != REFERRED


def test_another_transformer_and_an_answered_question_change_nothing() -> None:
    answer = Answered(
        field="cores", kept=0, reason_text="looked", person_id="p", at_utc="t", utc_offset_minutes=0
    )
    answered = dataclasses.replace(question("ct:t1", "cores"), answers=(answer,))

    assert verdicts(question("ct:other", "cores"), answered) == verdicts() != REFERRED
