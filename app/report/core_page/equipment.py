"""The instruments that took the readings of a set, and whether each was in calibration on the day."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from app.report.blocks import SMALL_SIZE, Block, Run, Words, words
from app.report.content import Sheet
from app.report.fonts import BOLD
from app.report.outline import CoreSet
from app.report.wording import day, day_text, local
from app.words import figures, said
from ctcore.errors import BadInput
from ctcore.job import METHOD_ROW, Instrument, Reading


def expired_on(instrument: Instrument, readings: Iterable[Reading]) -> date | None:
    """The first day on which the instrument was used after its calibration had ended; None where never."""
    if not instrument.due_on:
        return None
    try:
        due = date.fromisoformat(instrument.due_on[:10])
    except ValueError:
        return None
    days = [at.date() for at in (local(entry.at_utc, entry.utc_offset_minutes) for entry in readings) if at]
    return min((used for used in days if used > due), default=None)


def specification(instrument: Instrument) -> str:
    """The limit of error as stated: "0.4 % of reading + 0.05 V"."""
    parts = []
    if instrument.spec_reading_percent is not None:
        parts.append(
            said("{value} of reading", value=figures.with_unit(instrument.spec_reading_percent, "percent"))
        )
    if instrument.spec_floor is not None:
        parts.append(
            f"{figures.text(instrument.spec_floor, '1')} {_symbol(instrument.spec_floor_unit)}".strip()
        )
    return " + ".join(parts) or said("not stated")


def _symbol(unit: str) -> str:
    try:
        return figures.symbol(unit) if unit else ""
    except BadInput:
        return unit


def equipment(sheet: Sheet, core_set: CoreSet) -> list[Block]:
    """One line for each instrument of the set, and one for what nobody named an instrument for."""
    readings = [
        entry
        for core_id in core_set.core_ids
        for entry in sheet.outline.readings.get(core_id, ())
        if entry.row != METHOD_ROW or entry.instrument_id is not None
    ]
    by_instrument: dict[str | None, list[Reading]] = {}
    for entry in readings:
        by_instrument.setdefault(entry.instrument_id, []).append(entry)
    lines: list[Block] = []
    for instrument in sheet.job.instruments:
        used = by_instrument.get(instrument.instrument_id)
        if used:
            lines.append(_line(instrument, used))
    named = {instrument.instrument_id for instrument in sheet.job.instruments}
    if any(key not in named for key in by_instrument):
        lines.append(words(said("Some readings of this page name no instrument."), size=SMALL_SIZE))
    return lines


def _line(instrument: Instrument, used: list[Reading]) -> Block:
    late = expired_on(instrument, used)
    kind = f", {instrument.kind_text}" if instrument.kind_text else ""
    serial = ", " + said("serial {serial}", serial=instrument.serial_text) if instrument.serial_text else ""
    dates = said(
        "calibrated {on}, due {until}",
        on=day_text(instrument.calibrated_on),
        until=day_text(instrument.due_on),
    )
    runs = [Run(instrument.name_text, BOLD), Run(f"{kind}{serial}: {dates}")]
    if late is not None:
        runs.append(Run("   " + said("CALIBRATION HAD ENDED when used on {day}", day=day(late)), BOLD))
    return Words(tuple(runs), size=SMALL_SIZE)
