"""What is kept beside the record: struck, corrected and withdrawn readings, earlier takes, with reasons."""

from __future__ import annotations

from app.report.blocks import Block, Heading, NewPage, words
from app.report.content import Section, Sheet
from app.report.core_page.lines import cell_text
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.outline import Member
from app.report.wording import moment, of_reading, quantity_or_plain, row_words, span, with_symbol
from app.words import said
from ctcore.job import METHOD_ROW, Reading
from ctcore.procedure import Procedure
from ctcore.procedures import PROCEDURES
from ctcore.quantities import Quantity
from ctcore.takes import Row, Take

TITLE_TEXT = "Kept beside the record"
# So little of the last core on a page leaves room for what is of the whole sheet.
_STAYS_BELOW = 0.4


def build(sheet: Sheet) -> list[Block]:
    """Two tables; nothing where every reading stands as it was first entered."""
    changed = [row for member in _members(sheet) for row in _changed(sheet, member)]
    earlier = [row for member in _members(sheet) for row in _earlier(sheet, member)]
    running = said("Kept beside the record, instruments, people")
    blocks: list[Block] = [NewPage(running, stays_below=_STAYS_BELOW), Heading(said(TITLE_TEXT))]
    if changed:
        columns = (Column(width=128.0), Column(width=104.0), Column(width=80.0), Column(share=1.0))
        head = head_row(
            columns, (said("Where"), said("As first entered"), said("Now"), said("Reason, by whom, when"))
        )
        blocks += [
            Heading(said("Struck, corrected and withdrawn readings"), size=9.0),
            Grid(columns, [head, *changed], heads=1),
        ]
    if earlier:
        wide = (Column(width=128.0), Column(width=104.0), Column(share=1.0))
        head = head_row(wide, (said("Where"), said("Taken; taken again because"), said("Readings")))
        blocks += [
            Heading(said("Earlier takes, not of record"), size=9.0),
            Grid(wide, [head, *earlier], heads=1),
        ]
    if not changed and not earlier:
        blocks.append(
            words(said("No reading was struck, corrected or withdrawn, and no test was taken again."))
        )
    return blocks


def _members(sheet: Sheet) -> list[Member]:
    return [member for core_set in sheet.outline.sets for member in core_set.members]


def _changed(sheet: Sheet, member: Member) -> list[GridRow]:
    readings = sheet.outline.readings.get(member.core.core_id, ())
    by_id = {entry.reading_id: entry for entry in readings}
    rows = []
    for entry in readings:
        before = by_id.get(entry.supersedes_id or "")
        if before is not None or entry.struck or entry.withdrawn:
            rows.append(_changed_row(sheet, member, before, entry))
    return rows


def _changed_row(sheet: Sheet, member: Member, before: Reading | None, entry: Reading) -> GridRow:
    row = quantity_or_plain(entry.quantity_id)
    procedure = _procedure(entry.procedure_id)
    place = (
        "method"
        if entry.row == METHOD_ROW
        else row_words(entry.row, member.core, procedure)
        if procedure
        else ""
    )
    was = (
        said("{told} (typed “{as_typed}”)", told=_told(before, row), as_typed=before.as_typed_text)
        if before
        else "–"
    )
    now = said("struck") if entry.struck else _told(entry, row)
    signed = f"{sheet.person(entry.person_id)}, {moment(entry.at_utc, entry.utc_offset_minutes)}"
    where = said(
        "{place}, take {take}, {row}: {name}",
        place=sheet.place(entry.core_id, entry.procedure_id),
        take=entry.take,
        row=place,
        name=row.name,
    )
    why = entry.reason_text or said("no reason stated")
    return GridRow((words(where), words(was), words(now), words(f"{why} ({signed})")))


def _told(entry: Reading, row: Quantity) -> str:
    text = of_reading(entry, row)
    return text if entry.value_text is None else with_symbol(text, row)


def _procedure(procedure_id: str) -> Procedure | None:
    return next((entry for entry in PROCEDURES if entry.procedure_id == procedure_id), None)


def _earlier(sheet: Sheet, member: Member) -> list[GridRow]:
    rows = []
    for procedure in PROCEDURES:
        takes = sheet.outline.takes.get((member.core.core_id, procedure.procedure_id), ())
        rows += [
            _earlier_row(sheet, member, procedure, take, _reason(procedure, take, takes))
            for take in sheet.outline.earlier_takes(member.core.core_id, procedure)
        ]
    return rows


def _reason(procedure: Procedure, take: Take, takes: tuple[Take, ...]) -> str:
    """Why the next take of the same subject was made."""
    subject = procedure.per_subject(take) if procedure.per_subject else ""
    for later in takes:
        same = not procedure.per_subject or procedure.per_subject(later) == subject
        if later.take > take.take and same:
            return later.method.cell("retest_reason_text").value_text or said("no reason stated")
    return said("no reason stated")


def _earlier_row(sheet: Sheet, member: Member, procedure: Procedure, take: Take, reason: str) -> GridRow:
    readings = tuple(
        entry for row in (take.method, *take.rows) for cell in row.cells.values() for entry in cell.readings
    )
    where = said("{place}, take {take}", place=sheet.place(take.core_id, take.procedure_id), take=take.take)
    told = "; ".join(_row_text(row, member, procedure) for row in (take.method, *take.rows) if row.cells)
    return GridRow((words(where), words(f"{span(readings)}; {reason}"), words(told)))


def _row_text(row: Row, member: Member, procedure: Procedure) -> str:
    lead = (
        ""
        if row.row == METHOD_ROW or procedure.row_kind == "points"
        else row_words(row.row, member.core, procedure)
    )
    parts = []
    for quantity_id, cell in row.cells.items():
        if cell.empty:
            continue
        shape = quantity_or_plain(quantity_id)
        name = "" if procedure.row_kind == "points" and row.row != METHOD_ROW else f"{shape.heading} "
        parts.append(f"{name}{with_symbol(cell_text(cell, quantity_id), shape)}")
    return f"{lead}{': ' if lead else ''}{', '.join(parts)}"


KEPT = Section("kept", build, title=TITLE_TEXT)
