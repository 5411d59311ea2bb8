"""Every instrument of the job with its calibration."""

from __future__ import annotations

from app.report.blocks import Block, Heading, Stack, words
from app.report.content import Section, Sheet
from app.report.core_page.equipment import expired_on, specification
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.wording import day, day_text, quantity_or_plain
from app.words import said
from ctcore.job import Instrument


def build(sheet: Sheet) -> list[Block]:
    """One row for each instrument; an instrument out of calibration on a day of its use says so."""
    if not sheet.job.instruments:
        return []
    columns = (Column(share=0.3), Column(share=0.16), Column(share=0.2), Column(share=0.34))
    rows = [_row(sheet, instrument) for instrument in sheet.job.instruments]
    head = head_row(
        columns, (said("Instrument"), said("Serial"), said("Limit of error"), said("Calibration"))
    )
    return [Heading(said("Instruments")), Grid(columns, [head, *rows], heads=1)]


def _response(noted: str) -> str:
    known = {choice.value: choice.words for choice in quantity_or_plain("voltage_response").choices}
    return known.get(noted, "")


def _row(sheet: Sheet, instrument: Instrument) -> GridRow:
    used = [entry for entry in sheet.job.readings if entry.instrument_id == instrument.instrument_id]
    late = expired_on(instrument, used)
    kind = ", ".join(part for part in (instrument.kind_text, _response(instrument.response)) if part)
    lines: list[Block] = [
        words(
            said(
                "calibrated {on}, due {until}",
                on=day_text(instrument.calibrated_on),
                until=day_text(instrument.due_on),
            )
        )
    ]
    if instrument.certificate_text:
        lines.append(words(said("certificate {certificate}", certificate=instrument.certificate_text)))
    if instrument.checked_before_use_text:
        lines.append(
            words(
                said(
                    "checked before use: {checked_before_use}",
                    checked_before_use=instrument.checked_before_use_text,
                )
            )
        )
    if late is not None:
        lines.append(words(said("CALIBRATION HAD ENDED when used on {day}", day=day(late)), font=BOLD))
    if not used:
        lines.append(words(said("no reading of this record names it")))
    return GridRow(
        (
            Stack(words(instrument.name_text, font=BOLD), *((words(kind),) if kind else ())),
            words(instrument.serial_text or said("not stated")),
            words(specification(instrument)),
            Stack(*lines),
        )
    )


INSTRUMENTS = Section("instruments", build, title="Instruments")
