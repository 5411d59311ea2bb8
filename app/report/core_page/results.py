"""The results of every test of a set: values of the phases side by side, U, limit, verdict, method fields."""

from __future__ import annotations

from collections.abc import Sequence

from app.report.blocks import BODY_SIZE, SMALL_SIZE, Block, Heading, Run, Words, words
from app.report.content import Sheet
from app.report.core_page.lines import Line, alike, cell_text, lines_of
from app.report.fonts import BODY, BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.marks import MarkedWord
from app.report.outline import CoreSet, Performance, procedures_shown
from app.report.pen import Pen
from app.report.wording import (
    limit_text,
    quantity_or_plain,
    span,
    standing_text,
    symbol,
    uncertainty,
)
from ctcore.findings import Finding, worst
from ctcore.procedure import Procedure
from ctcore.procedures import PROCEDURES
from ctcore.takes import Take

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
        runs = [Run("Limits from  ", BOLD)]
        for text, letter in self.texts.items():
            runs += [Run(f"{letter} ", BOLD), Run(f"{text}   ")]
        return [Words(tuple(runs), size=SMALL_SIZE)]


def results(sheet: Sheet, core_set: CoreSet) -> list[Block]:
    """The table of results and the foundations of its limits."""
    labels = [member.label for member in core_set.members]
    columns = columns_for(len(labels))
    sources = Sources()
    head = head_row(columns, ("Test", *labels, "U", "Limit", "Verdict"))
    rows = [head]
    for procedure in procedures_shown(sheet.outline, core_set):
        for performance in sheet.outline.performances(core_set, procedure) or [None]:
            rows += _rows(sheet, core_set, procedure, performance, sources)
    return [
        Heading("Results", "bold: what is judged; U: k = 2, the largest of the phases; – : no value"),
        Grid(columns, rows, heads=1, pad=1.7),
        *sources.block(),
    ]


def columns_for(phases: int) -> tuple[Column, ...]:
    """The columns of the table of results."""
    value = Column(width=52.0, align="right")
    return (
        Column(share=1.0),
        *(value,) * phases,
        Column(width=36.0, align="right"),
        Column(width=80.0),
        Column(width=62.0 if phases == 1 else 90.0),
    )


def _rows(
    sheet: Sheet, core_set: CoreSet, procedure: Procedure, performance: Performance | None, sources: Sources
) -> list[GridRow]:
    number = PROCEDURES.index(procedure) + 1
    title = [Run(f"{number}  {procedure.name}", BOLD)]
    method = _method(core_set, procedure, performance)
    if method:
        title.append(Run(f"   {method}"))
    rows = [GridRow((Words(tuple(title)),), wide=True, rule_white=0.6, keep_next=True)]
    lines = lines_of(sheet.outline, core_set, procedure, performance)
    if not lines:
        rows.append(GridRow((words("    no line", size=BODY_SIZE),), wide=True))
    for place, line in enumerate(lines):
        following = lines[place + 1] if place + 1 < len(lines) else None
        rows.append(_line_row(line, core_set, sources, following))
        rows += _notes(line, core_set)
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
            parts.append(f"{heading} {alike(labels, [text or 'not stated' for text in told])}")
        elif spec.required and _asked(spec.shown_when, [take for _, take in present]):
            parts.append(f"{quantity_or_plain(spec.quantity_id).heading} not stated")
    parts.append(alike(labels, [_taken(take) for _, take in present]))
    return " · ".join(part for part in parts if part)


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
    unit = symbol(quantity_or_plain(quantity_id))
    return f"{text} {unit}" if unit else text


def _taken(take: Take) -> str:
    readings = tuple(
        reading
        for row in (take.method, *take.rows)
        for cell in row.cells.values()
        for reading in cell.readings
    )
    when = span(readings)
    return f"{when} (take {take.take})" if take.take > 1 else when


def _line_row(line: Line, core_set: CoreSet, sources: Sources, following: Line | None) -> GridRow:
    row = quantity_or_plain(line.quantity_id)
    found = [finding for finding in line.findings if finding is not None]
    outside = [finding is not None and finding.verdict == "outside" for finding in line.findings]
    values: list[Block] = [
        Reversed(value) if here else words(value, font=BOLD if line.judged else BODY, align="right")
        for value, here in zip(line.values, outside, strict=True)
    ]
    known = [u for u in line.uncertainties if u is not None]
    cells: tuple[Block, ...] = (
        words(f"    {line.label}"),
        *values,
        words(uncertainty(max(known), row) if known else "", align="right"),
        _limit(line, core_set, sources),
        _verdict(line, found),
    )
    goes_on = following is not None and not following.first_of_row
    return GridRow(cells, rule_white=0.6, keep_next=goes_on)


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
    shown = [finding.verdict if finding else "not applicable" for finding in line.findings]
    return MarkedWord(shown if len(shown) > 1 else verdicts, worst(verdicts), size=7.0)


def _notes(line: Line, core_set: CoreSet) -> list[GridRow]:
    """Why a line is not within, in one row beneath it; equal reasons once."""
    reasons: dict[str, list[str]] = {}
    for member, finding in zip(core_set.members, line.findings, strict=True):
        if finding is not None and finding.text and finding.verdict not in ("within", "not applicable"):
            reasons.setdefault(finding.text, []).append(member.label)
    rows = []
    for text, labels in reasons.items():
        lead = "" if len(labels) == len(core_set.members) else f"{', '.join(labels)}: "
        rows.append(GridRow((words(f"        {lead}{text}", size=SMALL_SIZE),), wide=True, rule_white=0.6))
    return rows


class Reversed(Block):
    """A value outside its limit: light on a black block, as its mark is."""

    def __init__(self, text: str) -> None:
        self.words = words(text, font=BOLD, align="right")

    def height(self, width: float) -> float:
        return self.words.height(width - 3.0)

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        lines = self.words.lines(width - 3.0)
        length = max(length for _, length in lines)
        high = self.height(width)
        pen.box(x + width - length - 6.0, top - 0.6, length + 6.0, high + 1.2, width=0.2, fill=0.0)
        step = high / len(lines)
        for number, (runs, _) in enumerate(lines):
            text = "".join(run.text for run in runs)
            base = top + number * step + (step + BODY_SIZE * 0.72) / 2.0
            pen.text(x + width - 3.0, base, text, font=BOLD, size=BODY_SIZE, align="right", light=True)
