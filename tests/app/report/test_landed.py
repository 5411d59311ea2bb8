"""Leads ticked as landed, on the sheet."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

from app.report.content import SheetInput
from ctcore.job import Job
from ctcore.landing import Landing
from tests.app.report.making import draft


def ticked(core_id: str, number: int, at: str) -> Landing:
    return Landing(
        landing_id=f"{core_id}-{number}", core_id=core_id, procedure_id="excitation", lead_id=str(number),
        text="source to S1", person_id="p1", at_utc=f"2026-05-04T{at}.000Z", utc_offset_minutes=0,
    )  # fmt: skip


def test_ticked_leads_are_named_by_test_once_for_alike_cores_with_the_time_of_the_last(
    three_phases: Job, printed: Callable[[SheetInput], str]
) -> None:
    first, second, *_ = [ct.cores[0].core_id for ct in three_phases.positions[0].cts]
    landings = (
        ticked(first, 1, "08:01:00"), ticked(first, 2, "08:02:00"), ticked(second, 1, "09:30:00"),
        ticked(second, 2, "09:31:00"),
    )  # fmt: skip
    text = " ".join(printed(draft(dataclasses.replace(three_phases, landings=landings))).split())

    assert "Leads ticked as landed" in text
    assert "Excitation: 2 leads" in text
    assert text.count("source to S1; source to S1") == 1
    assert "08:02" in text
    assert "09:31" in text
    assert "08:01" not in text


def test_a_sheet_without_ticks_says_nothing_of_leads(
    three_phases: Job, printed: Callable[[SheetInput], str]
) -> None:
    assert "Leads ticked" not in printed(draft(three_phases))
