"""Comments on the sheet: where, who, what was answered with which reading, and the state."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

from app.report.content import SheetInput
from ctcore.job import CommentStep, Job, Person, Remark
from tests.app.report.making import draft, set_of

Printed = Callable[[SheetInput], str]
AT = "2031-05-04T08:00:00Z"


def asked(*steps: CommentStep, wants_answer: bool = True) -> Remark:
    return Remark(
        remark_id="m", core_id="L1", procedure_id="excitation", text="Which terminals?", person_id="b",
        at_utc=AT, utc_offset_minutes=0, finding_key="L1/x/1//y", wants_answer=wants_answer, steps=steps,
    )  # fmt: skip


def job_with(remark: Remark) -> Job:
    people = (
        Person(person_id="a", name_text="T. Adder"),
        Person(person_id="b", name_text="M. Oskarrin"),
    )
    return dataclasses.replace(set_of(("L1",), points=4), people=people, remarks=(remark,))


def plain(text: str) -> str:
    return " ".join(text.split())


def test_a_comment_stands_with_its_answer_its_reading_and_its_state(printed: Printed) -> None:
    last = job_with(asked()).readings[-1]
    step = CommentStep(
        kind="rebuttal", text="read twice", person_id="a", at_utc=AT, utc_offset_minutes=0,
        reading_id=last.reading_id,
    )  # fmt: skip
    told = plain(printed(draft(job_with(asked(step)))))

    # Once in the contents, once over the table.
    assert told.count("Comments and answers") == 2
    assert "M. Oskarrin, 2031-05-04 08:00" in told or "M. Oskarrin, 4 May 2031 08:00" in told
    assert "Which terminals?" in told
    assert "stands as it is (point 4," in told
    assert "take 1): read twice" in told
    assert "answered" in told


def test_a_remark_that_asks_nothing_stands_with_its_core_alone(printed: Printed) -> None:
    told = plain(printed(draft(job_with(asked(wants_answer=False)))))

    assert "Comments and answers" not in told
    assert told.count("Which terminals?") == 1
