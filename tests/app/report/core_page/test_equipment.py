"""Calibration on the day of use."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from datetime import date

from app.report.content import SheetInput
from app.report.core_page.equipment import expired_on, specification
from ctcore.job import Instrument
from tests.app.report.making import draft, reading, set_of

METER = Instrument(instrument_id="m", name_text="Meter 7", calibrated_on="2025-10-12", due_on="2026-10-12")
USED = reading("L1", "excitation", "1", "v_excitation_v", "20", instrument_id="m")


def test_use_on_the_day_after_the_end_is_marked() -> None:
    assert expired_on(METER, [USED]) == date(2026, 10, 13)


def test_use_on_the_last_day_is_in_calibration() -> None:
    assert expired_on(dataclasses.replace(METER, due_on="2026-10-13"), [USED]) is None


def test_the_day_is_that_of_the_site() -> None:
    late = dataclasses.replace(USED, at_utc="2026-10-12T23:30:00Z", utc_offset_minutes=120)
    assert expired_on(METER, [late]) == date(2026, 10, 13)


def test_a_specification_is_told_with_its_floor() -> None:
    meter = dataclasses.replace(METER, spec_reading_percent=0.4, spec_floor=0.05, spec_floor_unit="V")
    assert specification(meter).replace("\u00a0", " ") == "0.4 % of reading + 0.05 V"


def test_the_sheet_marks_an_instrument_out_of_calibration(printed: Callable[[SheetInput], str]) -> None:
    job = set_of(("L1",))
    job = dataclasses.replace(
        job,
        instruments=(METER,),
        readings=tuple(dataclasses.replace(entry, instrument_id="m") for entry in job.readings),
    )
    text = printed(draft(job))
    assert text.count("CALIBRATION HAD ENDED when used on 13 Oct 2026") == 2
