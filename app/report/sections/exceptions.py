"""Every line that is outside, refer or not tested, with its reason; equal lines of sister phases in one row."""

from __future__ import annotations

from collections.abc import Iterable

from app.report.blocks import Block, Heading, Stack, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.marks import MarkedWord
from app.report.outline import CoreSet, Member
from app.report.wording import (
    NOTHING,
    limit_text,
    of_value,
    quantity_or_plain,
    row_words,
    standing_text,
    symbol,
)
from ctcore.findings import Finding, worst_first
from ctcore.procedures import PROCEDURES

_EXCEPTIONS = ("outside", "refer", "not tested")
Group = tuple[CoreSet, list[tuple[Member, Finding]]]


def build(sheet: Sheet) -> list[Block]:
    """The table of exceptions, worst first."""
    groups = _groups(sheet)
    if not groups:
        return []
    columns = (Column(width=62.0), Column(width=118.0), Column(width=124.0), Column(share=1.0))
    rows = [_row(core_set, entries) for core_set, entries in groups]
    head = head_row(columns, ("Verdict", "Where", "Found", "Against, and why"))
    return [Heading("Outside, refer and not tested"), Grid(columns, [head, *rows], heads=1)]


def _groups(sheet: Sheet) -> list[Group]:
    grouped: dict[tuple[object, ...], Group] = {}
    for number, core_set in enumerate(sheet.outline.sets):
        for member in core_set.members:
            for finding in sheet.outline.of_core(member):
                if finding.verdict in _EXCEPTIONS:
                    key = (number, *_alike(finding))
                    grouped.setdefault(key, (core_set, []))[1].append((member, finding))
    order = worst_first(entries[0][1] for _, entries in grouped.values())
    places = {id(finding): place for place, finding in enumerate(order)}
    return sorted(grouped.values(), key=lambda group: places[id(group[1][0][1])])


def _alike(finding: Finding) -> tuple[object, ...]:
    return (
        finding.verdict,
        finding.procedure,
        finding.row,
        finding.quantity,
        finding.rule,
        finding.limit_low,
        finding.limit_high,
        finding.source,
        finding.text,
    )


def _row(core_set: CoreSet, entries: list[tuple[Member, Finding]]) -> GridRow:
    finding = entries[0][1]
    row = quantity_or_plain(finding.quantity)
    procedure = next((entry for entry in PROCEDURES if entry.procedure_id == finding.procedure), None)
    phases = ", ".join(dict.fromkeys(member.label for member, _ in entries))
    where = f"{core_set.position.name_text} {phases}, core {core_set.first.number}"
    name = procedure.short_name if procedure else finding.procedure
    place = row_words(finding.row, core_set.first, procedure) if procedure and finding.row else ""
    against = ", ".join(part for part in (limit_text(finding, row), standing_text(finding)) if part)
    reason = finding.text or ("" if against else "no reason given")
    cells: tuple[Block, ...] = (
        MarkedWord([finding.verdict], finding.verdict),
        Stack(words(where, font=BOLD), words(f"{name}{': ' + place if place else ''}")),
        words(_found(entries)),
        Stack(*(words(part) for part in (against, reason) if part)),
    )
    return GridRow(cells)


def _found(entries: Iterable[tuple[Member, Finding]]) -> str:
    listed = list(entries)
    row = quantity_or_plain(listed[0][1].quantity)
    if row.quantity_id == "judgement" or all(finding.value is None for _, finding in listed):
        return "no result" if row.quantity_id == "judgement" else f"{row.name}: no value"
    values = [
        f"{member.label} {of_value(finding.value, row, finding.u_expanded)}" if len(listed) > 1
        else of_value(finding.value, row, finding.u_expanded)
        for member, finding in listed
    ]
    unit = symbol(row)
    return f"{row.name} {', '.join(values) or NOTHING}{' ' + unit if unit else ''}"


EXCEPTIONS = Section("exceptions", build)
