"""Deviations with what was decided, limits replaced by the office, and the remarks on the job as a whole."""

from __future__ import annotations

from app.report.blocks import Block, Heading, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.wording import moment, utc_moment
from app.words import said, told
from ctcore.job import DECISION_WORDS, Deviation


def build(sheet: Sheet) -> list[Block]:
    """One numbered table of deviations, then the remarks."""
    return [*_deviations(sheet), *_remarks(sheet)]


def _deviations(sheet: Sheet) -> list[Block]:
    job = sheet.job
    if not job.deviations:
        return []
    columns = (Column(width=14.0), Column(width=132.0), Column(share=0.5), Column(share=0.5))
    rows = []
    for number, entry in enumerate(job.deviations, start=1):
        signed = ", ".join(
            part
            for part in (sheet.person(entry.person_id) if entry.person_id else "", utc_moment(entry.at_utc))
            if part
        )
        decision = f"{_decided(entry)} ({signed})" if signed else _decided(entry)
        cells: tuple[Block, ...] = (
            words(str(number), font=BOLD),
            words(sheet.place(entry.core_id, entry.procedure_id)),
            words(entry.found_text),
            words(". ".join(part for part in (decision, _doing(entry)) if part)),
        )
        rows.append(GridRow(cells))
    head = head_row(columns, ("", said("Where"), said("Found"), said("Decision")))
    return [Heading(said("Deviations and concessions")), Grid(columns, [head, *rows], heads=1)]


def _doing(entry: Deviation) -> str:
    """What is done about it, by whom, until when."""
    owner = said("by {owner}", owner=entry.owner_text) if entry.owner_text else ""
    until = said("until {due_on}", due_on=entry.due_on) if entry.due_on else ""
    return " ".join(part for part in (entry.disposition_text, owner, until) if part)


def _decided(entry: Deviation) -> str:
    if entry.decision is None:
        return entry.decision_text or said("open: nothing decided yet")
    valid = said("holds {valid}", valid=entry.valid_text) if entry.valid_text else ""
    what = "; ".join(part for part in (entry.decision_text, valid) if part)
    decided = told(f"decision.{entry.decision}", DECISION_WORDS[entry.decision])
    return f"{decided}: {what}" if what else decided


def _remarks(sheet: Sheet) -> list[Block]:
    remarks = [entry for entry in sheet.job.remarks if not entry.core_id and not entry.state]
    if not remarks:
        return []
    columns = (Column(width=151.0), Column(share=1.0))
    rows = [
        GridRow(
            (
                words(f"{sheet.person(entry.person_id)}, {moment(entry.at_utc, entry.utc_offset_minutes)}"),
                words(entry.text),
            )
        )
        for entry in remarks
    ]
    return [Heading(said("Remarks on the job")), Grid(columns, rows)]


DECISIONS = Section("decisions", build, title="Deviations, concessions, remarks")
