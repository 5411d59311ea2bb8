"""The results of every test of a set: values of the phases side by side, U, limit, verdict, method fields."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from app.report.blocks import SMALL_SIZE, Block, Figure, Heading, Run, Words, words
from app.report.content import Sheet
from app.report.core_page.lines import Line, RowGroup, alike, cell_text, groups_of
from app.report.fonts import BODY, BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.marks import MarkedWord
from app.report.outline import CoreSet, Performance, procedures_shown
from app.report.wording import (
    limit_text,
    quantity_or_plain,
    reason_text,
    span_parts,
    standing_text,
    uncertainty,
    with_symbol,
)
from app.words import procedure_in_words, retold, said
from ctcore.findings import Finding, worst
from ctcore.job import Reading
from ctcore.procedure import Procedure
from ctcore.takes import Take

_INDENT = 9.0
_LIGHT = 0.6
_SHORT = 24
_LETTERS = "abcdefghijklmnopqrstuvwxyz"


class Sources:
    """The foundations of the limits of one page, each with a letter."""

    def __init__(self) -> None:
        self.texts: dict[str, str] = {}

    def letter(self, finding: Finding) -> str:
        """The letter of where a limit comes from; empty where it has no source."""
        text = standing_text(finding)
        if not text:
            return ""
        number = len(self.texts)
        return self.texts.setdefault(text, _LETTERS[number] if number < 26 else str(number))

    def block(self) -> list[Block]:
        """The list beneath the table."""
        if not self.texts:
            return []
        runs = [Run(said("Limits from") + "  ", BOLD)]
        for text, letter in self.texts.items():
            runs += [Run(f"{letter} ", BOLD), Run(f"{text}   ")]
        return [Words(tuple(runs), size=SMALL_SIZE)]


@dataclass(slots=True)
class _Table:
    """What is told once for a whole table."""

    sources: Sources = field(default_factory=Sources)
    last_method: dict[str, str] = field(default_factory=dict)


def results(sheet: Sheet, core_set: CoreSet) -> list[Block]:
    """The table of results and the foundations of its limits."""
    labels = [member.label for member in core_set.members]
    columns = columns_for(len(labels))
    table = _Table()
    head = head_row(columns, (said("Test"), *labels, "U", said("Limit"), said("Verdict")))
    rows = [head]
    for number, procedure in enumerate(procedures_shown(sheet.outline, core_set), start=1):
        title = f"{number}  {procedure_in_words(procedure).name}"
        for performance in _performances(sheet, core_set, procedure):
            rows += _rows(sheet, core_set, procedure, performance, table, title)
    return [
        Heading(
            said("Results"), said("bold: what is judged; U: k = 2, the largest of the phases; – : no value")
        ),
        Grid(columns, rows, heads=1, pad=1.7),
        *table.sources.block(),
    ]


def _performances(sheet: Sheet, core_set: CoreSet, procedure: Procedure) -> list[Performance | None]:
    """Every performance; one empty place where the test was not taken, for its findings."""
    return [*sheet.outline.performances(core_set, procedure)] or [None]


def columns_for(phases: int) -> tuple[Column, ...]:
    """The columns of the table of results."""
    value = Column(width=44.0, align="right")
    return (
        Column(share=1.0),
        *(value,) * phases,
        Column(width=34.0, align="right"),
        Column(width=78.0),
        Column(width=62.0 if phases == 1 else 76.0),
    )


def _rows(
    sheet: Sheet,
    core_set: CoreSet,
    procedure: Procedure,
    performance: Performance | None,
    table: _Table,
    heading: str,
) -> list[GridRow]:
    title = [Run(heading, BOLD)]
    method = _method(core_set, procedure, performance)
    times = _times(core_set, performance)
    # Takes at other currents or burdens follow each other: what they have in common is told once.
    told = method if method != table.last_method.get(procedure.procedure_id) else said("as before")
    table.last_method[procedure.procedure_id] = method
    title += [Run(f"   {part}") for part in (" · ".join(part for part in (told, times) if part),) if part]
    rows = [GridRow((Words(tuple(title)),), wide=True, rule_white=_LIGHT, keep_next=True)]
    groups = groups_of(sheet.outline, core_set, procedure, performance)
    for group in groups:
        rows += _group_rows(group, core_set, table)
    if not groups:
        rows.append(GridRow((words(said("no line"), indent=_INDENT),), wide=True))
    last = rows[-1]
    return [*rows[:-1], replace(last, rule_white=0.0)]


def _group_rows(group: RowGroup, core_set: CoreSet, table: _Table) -> list[GridRow]:
    """The words of the row over its lines; before a single line they stand in it."""
    rows: list[GridRow] = []
    lead = ""
    if group.title and len(group.lines) == 1 and len(group.title) < _SHORT:
        lead = f"{group.title}: "
    elif group.title:
        rows.append(GridRow((words(group.title, indent=_INDENT),), wide=True, rule=0.0, keep_next=True))
    deeper = 2 * _INDENT if rows else _INDENT
    for place, line in enumerate(group.lines):
        notes = _notes(line, core_set)
        goes_on = place + 1 < len(group.lines) or bool(notes)
        rows.append(_line_row(line, core_set, table.sources, lead=lead, indent=deeper, goes_on=goes_on))
        rows += notes
    return rows


def _method(core_set: CoreSet, procedure: Procedure, performance: Performance | None) -> str:
    """Method fields and times, each phase apart only where they differ."""
    if performance is None:
        return ""
    present = [(number, take) for number, take in enumerate(performance.takes) if take is not None]
    labels = [core_set.members[number].label for number, _ in present]
    parts = []
    for spec in procedure.method:
        told = [_field(core_set, number, take, spec.quantity_id) for number, take in present]
        if any(told):
            heading = quantity_or_plain(spec.quantity_id).heading
            parts.append(f"{heading} {alike(labels, [text or said('not stated') for text in told])}")
        elif spec.required and _asked(spec.shown_when, [take for _, take in present]):
            parts.append(said("{heading} not stated", heading=quantity_or_plain(spec.quantity_id).heading))
    return " · ".join(parts)


def _times(core_set: CoreSet, performance: Performance | None) -> str:
    """When each phase was taken; the day once where it is one day for all."""
    if performance is None:
        return ""
    told: list[tuple[str, str, str]] = []
    for member, take in zip(core_set.members, performance.takes, strict=True):
        if take is not None:
            day_words, hours = span_parts(_readings(take))
            told.append(
                (
                    member.label,
                    day_words,
                    f"{hours}{' ' + said('(take {take})', take=take.take) if take.take > 1 else ''}",
                )
            )
    days = dict.fromkeys(day_words for _, day_words, _ in told)
    if len(days) == 1 and next(iter(days)):
        return f"{next(iter(days))} " + alike(
            [label for label, _, _ in told], [hours for _, _, hours in told]
        )
    return alike(
        [label for label, _, _ in told], [f"{day_words} {hours}".strip() for _, day_words, hours in told]
    )


def _readings(take: Take) -> tuple[Reading, ...]:
    return tuple(
        reading
        for row in (take.method, *take.rows)
        for cell in row.cells.values()
        for reading in cell.readings
    )


def _asked(shown_when: tuple[str, tuple[str, ...]] | None, takes: Sequence[Take]) -> bool:
    if shown_when is None:
        return True
    quantity_id, values = shown_when
    return any(take.method.cell(quantity_id).value_text in values for take in takes)


def _field(core_set: CoreSet, number: int, take: Take, quantity_id: str) -> str:
    cell = take.method.cell(quantity_id)
    if cell.empty:
        return ""
    text = cell_text(cell, quantity_id)
    if quantity_id == "tap_id":
        tap = core_set.members[number].core.tap(text)
        return tap.terminals_text if tap else text
    return with_symbol(text, quantity_or_plain(quantity_id))


def _line_row(
    line: Line, core_set: CoreSet, sources: Sources, *, lead: str, indent: float, goes_on: bool
) -> GridRow:
    row = quantity_or_plain(line.quantity_id)
    found = [finding for finding in line.findings if finding is not None]
    outside = [finding is not None and finding.verdict == "outside" for finding in line.findings]
    values: list[Block] = [
        Figure(value, font=BOLD if line.judged else BODY, light=here)
        for value, here in zip(line.values, outside, strict=True)
    ]
    known = [u for u in line.uncertainties if u is not None]
    cells: tuple[Block, ...] = (
        words(f"{lead}{line.label}", indent=indent),
        *values,
        Figure(uncertainty(max(known), row) if known else ""),
        _limit(line, core_set, sources),
        _verdict(line, found),
    )
    return GridRow(cells, rule_white=_LIGHT, keep_next=goes_on)


def _limit(line: Line, core_set: CoreSet, sources: Sources) -> Words:
    row = quantity_or_plain(line.quantity_id)
    pairs = [
        (member.label, limit_text(finding, row), sources.letter(finding))
        for member, finding in zip(core_set.members, line.findings, strict=True)
        if finding is not None
    ]
    told = alike([label for label, _, _ in pairs], [text for _, text, _ in pairs]) if pairs else ""
    letters = "".join(dict.fromkeys(letter for _, _, letter in pairs))
    return Words((Run(f"{told} "), Run(letters, BOLD))) if letters else words(told)


def _verdict(line: Line, found: Sequence[Finding]) -> Block:
    if not found:
        return words("")
    verdicts = [finding.verdict for finding in found]
    if len(set(verdicts)) == 1 and len(found) == len(line.findings):
        return MarkedWord(verdicts[:1], verdicts[0])
    shown = [finding.verdict if finding else None for finding in line.findings]
    return MarkedWord(shown, worst(verdicts), size=7.0)


def _notes(line: Line, core_set: CoreSet) -> list[GridRow]:
    """Why a line is not within, in one row beneath it; equal reasons once."""
    reasons: dict[str, list[str]] = {}
    for member, finding in zip(core_set.members, line.findings, strict=True):
        told = reason_text(finding, member.core) if finding is not None else ""
        if finding is not None and told and finding.verdict not in ("within", "not applicable"):
            reasons.setdefault(told, []).append(member.label)
    for member, finding, note in zip(core_set.members, line.findings, line.notes, strict=False):
        # The words of a finding that is within, or of one that judges nothing, are not printed.
        told_already = (
            finding is not None
            and finding.verdict not in ("within", "not applicable")
            and note.rstrip(".") in finding.text
        )
        if note and not told_already:
            reasons.setdefault(retold(note), []).append(member.label)
    rows = []
    for text, labels in reasons.items():
        lead = "" if len(labels) == len(core_set.members) else f"{', '.join(labels)}: "
        rows.append(
            GridRow(
                (words(f"{lead}{text}", size=SMALL_SIZE, indent=3 * _INDENT),), wide=True, rule_white=_LIGHT
            )
        )
    return rows
