"""What the instruments of a reading contribute: uncertainty, and doubt where a calibration had ended."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from ctcore.entry import COLUMNS
from ctcore.job import Instrument, Job, Reading
from ctcore.judgement.cells import unit_of
from ctcore.procedure import Scene

_SQRT3 = math.sqrt(3.0)


def instrument_of(job: Job, reading: Reading) -> Instrument | None:
    """The instrument a reading was taken with, or None where none is linked."""
    if reading.instrument_id is None:
        return None
    return next((entry for entry in job.instruments if entry.instrument_id == reading.instrument_id), None)


def instruments_of(job: Job, readings: Iterable[Reading]) -> tuple[Instrument | None, ...]:
    """The instruments of many readings, each once; None among them where a reading has none linked."""
    found = {entry.instrument_id: entry for entry in readings}
    return tuple(instrument_of(job, entry) for entry in found.values())


def floor_in_base(instrument: Instrument, unit: str) -> float | None:
    """The constant part of the specification in base units; None where its unit is another dimension."""
    if not instrument.spec_floor:
        return 0.0
    column = COLUMNS.get(instrument.spec_floor_unit)
    if column is None or column.dimension.base != unit:
        return None
    its = column.unit
    factor = its.factor if its.factor is not None else Decimal(1).scaleb(its.power)
    return abs(instrument.spec_floor) * float(factor)


@dataclass(frozen=True, slots=True)
class Shares:
    """Standard uncertainties of one reading in its base unit: of the specification, and of the last digit."""

    u_specification: float
    u_digit: float
    instrument_text: str


def standard_uncertainty(scene: Scene, reading: Reading, value: float) -> float | None:
    """Standard uncertainty of a reading from its instrument's specification and its own last digit.

    Formula: u^2 = (a/sqrt3)^2 + (d/(2 sqrt3))^2, a = percent of reading + floor, d the last digit typed.
    Result: in the base unit of the quantity; None where no specification is stated, or one of zero.
    Source: JCGM 100:2008, 4.3.7.
    """
    found = shares(scene, reading, value)
    return None if found is None else math.hypot(found.u_specification, found.u_digit)


def shares(scene: Scene, reading: Reading, value: float) -> Shares | None:
    """The two parts of `standard_uncertainty`; None where no specification is stated, or one of zero."""
    instrument = instrument_of(scene.job, reading)
    if instrument is None or (instrument.spec_reading_percent is None and instrument.spec_floor is None):
        return None
    floor = floor_in_base(instrument, unit_of(reading.quantity_id))
    if floor is None:
        return None
    percent = instrument.spec_reading_percent or 0.0
    if percent < 0.0 or not percent + floor > 0.0:
        # A meter without any error is none: zeros mean that nothing was stated.
        return None
    bound = abs(value) * percent / 100.0 + floor
    return Shares(bound / _SQRT3, _last_digit(reading) / (2.0 * _SQRT3), instrument.name_text)


def _last_digit(reading: Reading) -> float:
    exponent = Decimal(reading.value_text or "0").as_tuple().exponent
    return 10.0**exponent if isinstance(exponent, int) else 0.0


def calibration_doubts(scene: Scene, readings: Iterable[Reading]) -> tuple[str, ...]:
    """One sentence per instrument whose calibration had ended on the day of a reading, or may have."""
    sentences: dict[str, str] = {}
    for reading in readings:
        instrument = instrument_of(scene.job, reading)
        if instrument is None or not instrument.due_on:
            continue
        due, taken = _day(instrument.due_on), _local_day(reading)
        if due is None or taken is None:
            sentences[instrument.instrument_id] = (
                f"Whether the calibration of {instrument.name_text} still held cannot be told: it is due on "
                f"“{instrument.due_on}”, read at “{reading.at_utc}”."
            )
        elif due < taken:
            sentences[instrument.instrument_id] = (
                f"The calibration of {instrument.name_text} had ended on {instrument.due_on}."
            )
    return tuple(sentences.values())


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None


def _local_day(reading: Reading) -> date | None:
    try:
        taken = datetime.fromisoformat(reading.at_utc)
    except ValueError:
        return None
    return (taken + timedelta(minutes=reading.utc_offset_minutes)).date()
