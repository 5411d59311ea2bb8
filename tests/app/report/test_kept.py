"""Readings beside the record: struck, corrected, withdrawn, earlier takes."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

from app.report.content import SheetInput
from ctcore.job import Job
from tests.app.report.making import draft, reading, set_of

Printed = Callable[[SheetInput], str]


def _with(*readings: object) -> Job:
    job = set_of(("L1",))
    return dataclasses.replace(job, readings=(*job.readings, *readings))


def _resistance(name: str, text: str, **changes: object) -> object:
    entry = reading("L1", "resistance", "S1-S2", "r_measured_ohm", text, **changes)
    return dataclasses.replace(entry, reading_id=name)


def test_a_corrected_reading_is_listed_with_its_reason(printed: Printed) -> None:
    job = _with(
        _resistance("a", "21.13"),
        _resistance(
            "b", "2.113", supersedes_id="a", reason_text="decimal slip", at_utc="2026-10-13T07:05:00Z"
        ),
    )
    text = printed(draft(job))
    assert "21.13 Ω (typed “21.13”)" in text
    assert "decimal slip" in text


def test_a_struck_point_stays_legible_and_is_listed(printed: Printed) -> None:
    job = set_of(("L1",))
    last = job.readings[-1]
    strike = dataclasses.replace(
        last, reading_id="s", supersedes_id=last.reading_id, struck=True, value_text=None, as_typed_text="",
        reason_text="supply dipped", at_utc="2026-10-13T07:30:00Z",
    )  # fmt: skip
    text = printed(draft(dataclasses.replace(job, readings=(*job.readings, strike))))
    assert "supply dipped" in text
    assert text.count(f"{float(last.value_text or 0) * 1e3:g}") >= 2


def test_a_withdrawn_reading_is_listed(printed: Printed) -> None:
    job = _with(
        _resistance("a", "21.13"),
        _resistance(
            "b", "", value_text=None, supersedes_id="a", withdrawn=True, at_utc="2026-10-13T07:05:00Z"
        ),
    )
    assert "withdrawn" in printed(draft(job)).split("Struck, corrected and withdrawn readings")[1]


def test_an_earlier_take_is_printed_with_the_reason_of_the_next(printed: Printed) -> None:
    retest = reading("L1", "resistance", "method", "retest_reason_text", "had not settled", take=2)
    job = _with(_resistance("a", "21.13"), retest, _resistance("b", "2.113", take=2))
    text = printed(draft(job)).split("Earlier takes, not of record")[1]
    assert "had not settled" in text
    assert "21.13" in text


def test_a_job_without_changes_says_so(printed: Printed) -> None:
    assert "No reading was struck, corrected or withdrawn" in printed(draft(set_of(("L1",))))
