"""Every line that is outside, refer or not tested, with its reason; lines with one reason stand together."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from app.report.blocks import Block, Heading, NewPage, Stack, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.marks import MarkedWord
from app.report.outline import CoreSet, Member, Outline
from app.report.wording import (
    limit_text,
    of_reading,
    of_value,
    quantity_or_plain,
    reason_in_english,
    row_words,
    standing_text,
    with_symbol,
)
from app.words import procedure_in_words, retold, said
from ctcore.findings import Finding, Verdict
from ctcore.procedure import Procedure
from ctcore.procedures import PROCEDURES
from ctcore.quantities import Quantity

_EXCEPTIONS: tuple[Verdict, ...] = ("outside", "refer", "not tested")
_LISTED = 3
# What an insulation line says of its reading and of the factor that took it to 20 °C.
_READING_SENTENCE = re.compile(r"Read [^;]+; factor \S+ [^.]*\.")
TITLE_TEXT = "Outside, refer and not tested"


@dataclass(slots=True)
class Group:
    """Exceptions with verdict, test and reason in common, in the order of their sets.

    Outside ones stand together with sisters only, those with a value only within one set.
    """

    reason: str
    entries: list[tuple[Member, Finding]] = field(default_factory=list)
    sets: list[CoreSet] = field(default_factory=list)

    @property
    def first(self) -> Finding:
        """The finding that stands for the group."""
        return self.entries[0][1]


def build(sheet: Sheet) -> list[Block]:
    """The table of exceptions, worst first."""
    groups = _groups(sheet)
    page = NewPage(said("Exceptions, and what the verdicts rest on"))
    if not groups:
        none = words(
            said("No line is outside, refer or not tested.")
            if sheet.given.findings
            else said("There are no lines.")
        )
        return [page, Heading(said(TITLE_TEXT), above=0.0), none]
    columns = (Column(width=72.0), Column(width=118.0), Column(width=136.0), Column(share=1.0))
    head = head_row(columns, (said("Verdict"), said("Where"), said("Found"), said("Against, and why")))
    rows = [_row(sheet.outline, group) for group in groups]
    note = said("every line stands on the page of its core")
    return [page, Heading(said(TITLE_TEXT), note, above=0.0), Grid(columns, [head, *rows], heads=1)]


def _groups(sheet: Sheet) -> list[Group]:
    grouped: dict[tuple[object, ...], Group] = {}
    for number, core_set in enumerate(sheet.outline.sets):
        for member in core_set.members:
            for finding in sheet.outline.of_core(member):
                if finding.verdict in _EXCEPTIONS:
                    reason = _shared_reason(finding, member)
                    place = -1 if finding.verdict == "not tested" and finding.value is None else number
                    key = (place, finding.verdict, finding.procedure, reason, *_apart(finding))
                    group = grouped.setdefault(key, Group(reason))
                    group.entries.append((member, finding))
                    group.sets.append(core_set)
    return sorted(grouped.values(), key=lambda group: _EXCEPTIONS.index(group.first.verdict))


def _shared_reason(finding: Finding, member: Member) -> str:
    """The reason; of what is only to be referred without the reading, which stands on the core's page."""
    reason = reason_in_english(finding, member.core)
    return retold(reason if finding.verdict == "outside" else _READING_SENTENCE.sub("", reason).strip())


def _apart(finding: Finding) -> tuple[object, ...]:
    """What keeps lines apart that are outside; what is only to be referred may stand together."""
    if finding.verdict != "outside":
        return ()
    return (
        finding.row,
        finding.quantity,
        finding.rule,
        finding.limit_low,
        finding.limit_high,
        finding.source,
    )


def _row(outline: Outline, group: Group) -> GridRow:
    finding = group.first
    procedure = next((entry for entry in PROCEDURES if entry.procedure_id == finding.procedure), None)
    test = procedure_in_words(procedure).name if procedure else finding.procedure
    places = _places(group, procedure)
    against = _against(group)
    reason = group.reason or ("" if against else said("no reason given"))
    return GridRow(
        (
            MarkedWord([finding.verdict], finding.verdict),
            Stack(
                *(words(place, font=BOLD) for place in _where(group)),
                words(f"{test}{': ' + places if places else ''}"),
            ),
            Stack(*(words(line) for line in _found(outline, group, procedure))),
            Stack(*(words(part) for part in (against, reason) if part)),
        )
    )


def _where(group: Group) -> list[str]:
    """Positions with the phases and cores that the group is about: "S1 line L1, L3, cores 1, 2"."""
    phases: dict[tuple[str, int], dict[str, None]] = {}
    for (member, _), core_set in zip(group.entries, group.sets, strict=True):
        phases.setdefault((core_set.place, core_set.first.number), {})[member.label] = None
    cores: dict[tuple[str, str], list[str]] = {}
    for (place, number), labels in phases.items():
        cores.setdefault((place, ", ".join(labels)), []).append(str(number))
    return [
        said(
            "{place} {labels}, core {numbers}" if len(numbers) == 1 else "{place} {labels}, cores {numbers}",
            place=place,
            labels=labels,
            numbers=", ".join(numbers),
        )
        for (place, labels), numbers in cores.items()
    ]


def _places(group: Group, procedure: Procedure | None) -> str:
    if procedure is None or procedure.row_kind == "points":
        return ""
    told = dict.fromkeys(
        row_words(finding.row, member.core, procedure) for member, finding in group.entries if finding.row
    )
    return ", ".join(told)


def _against(group: Group) -> str:
    """The limit and its source, where the whole group shares it."""
    row = quantity_or_plain(group.first.quantity)
    limits = dict.fromkeys(
        ", ".join(part for part in (limit_text(finding, row, unit=True), standing_text(finding)) if part)
        for _, finding in group.entries
    )
    if len(limits) > 1:
        return said("limits: see the page of the core")
    return next(iter(limits))


def _found(outline: Outline, group: Group, procedure: Procedure | None) -> list[str]:
    """Every value of a short group; of a long one how many lines, and the one with the least in hand."""
    valued = [(member, finding) for member, finding in group.entries if finding.value is not None]
    if not valued:
        return [said("no value")]
    by_quantity: dict[tuple[str, str], list[tuple[Member, Finding]]] = {}
    for member, finding in valued:
        by_quantity.setdefault((finding.quantity, finding.row), []).append((member, finding))
    if len(by_quantity) <= _LISTED and len(valued) <= 3 * _LISTED:
        several = len({row for _, row in by_quantity}) > 1
        return [
            (f"{_row_of(entries, procedure)}: " if several and entries[0][1].row else "")
            + _values(outline, entries)
            for entries in by_quantity.values()
        ]
    names = dict.fromkeys(quantity_or_plain(finding.quantity).name for _, finding in valued)
    told = [said("{count} lines: {names}", count=len(group.entries), names=", ".join(names))]
    nearest = _nearest(valued)
    if nearest is not None:
        member, finding = nearest
        row = quantity_or_plain(finding.quantity)
        told.append(
            said(
                "nearest to its limit: {label} {name} {value}, {limit}",
                label=member.label,
                name=row.name,
                value=with_symbol(of_value(finding.value, row), row),
                limit=limit_text(finding, row, unit=True),
            )
        )
    return told


def _row_of(entries: list[tuple[Member, Finding]], procedure: Procedure | None) -> str:
    member, finding = entries[0]
    tap = member.core.tap(finding.row)
    if tap is not None:
        return tap.terminals_text
    return row_words(finding.row, member.core, procedure) if procedure else finding.row


def _values(outline: Outline, entries: list[tuple[Member, Finding]]) -> str:
    row = quantity_or_plain(entries[0][1].quantity)
    told = ", ".join(f"{member.label} {_value(outline, finding, row)}" for member, finding in entries)
    return f"{row.name} {with_symbol(told, row)}"


def _value(outline: Outline, finding: Finding, row: Quantity) -> str:
    """The value as judged; a reading over or under the range of its instrument keeps its sign."""
    takes = outline.takes.get((finding.core, finding.procedure), ())
    take = next((entry for entry in takes if entry.take == finding.take), None)
    read = take.row(finding.row).cell(finding.quantity).current if take else None
    if read is not None and (read.over_range or read.under_range):
        return of_reading(read, row)
    return of_value(finding.value, row)


def _nearest(entries: list[tuple[Member, Finding]]) -> tuple[Member, Finding] | None:
    """The line with the least in hand as a share of its limit."""
    shares = [
        (finding.margin / abs(finding.limit), number)
        for number, (_, finding) in enumerate(entries)
        if finding.margin is not None and isinstance(finding.limit, float) and finding.limit
    ]
    return entries[min(shares)[1]] if shares else None


EXCEPTIONS = Section("exceptions", build, title=TITLE_TEXT)
