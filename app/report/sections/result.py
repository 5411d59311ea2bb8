"""The result in one sentence, and every box of the job as a mark."""

from __future__ import annotations

from collections.abc import Sequence

from app.report.blocks import Block, Heading, Space, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow
from app.report.marks import MARK_WIDTH, MarkedWord, Marks
from app.report.outline import CoreSet, procedures_shown
from ctcore.findings import VERDICTS, Finding, Verdict
from ctcore.procedure import Procedure
from ctcore.procedures import PROCEDURES

# So many tests have room beside the names of set and core.
_ABREAST = 5
_ORDER: tuple[Verdict, ...] = ("outside", "refer", "not tested", "within", "not applicable")


def sentence(findings: Sequence[Finding]) -> str:
    """The result in words: "12 lines. None outside, 2 refer, 1 not tested, 9 within, none not applicable."

    >>> sentence([])
    'Result: no lines.'
    """
    if not findings:
        return "Result: no lines."
    counts = dict.fromkeys(VERDICTS, 0)
    for finding in findings:
        counts[finding.verdict] += 1
    shown = [
        f"{counts[verdict] or 'none'} {verdict}"
        for verdict in _ORDER
        if counts[verdict] or verdict == "outside"
    ]
    told = ", ".join(shown)
    lines = "1 line" if len(findings) == 1 else f"{len(findings)} lines"
    return f"Result: {lines}. {told[0].upper()}{told[1:]}."


def build(sheet: Sheet) -> list[Block]:
    """The sentence, the table of boxes and the key of the marks; many tests take several tables."""
    phases = ", ".join(sheet.job.phase_names)
    blocks: list[Block] = [Heading(sentence(sheet.given.findings), f"marks: {phases}")]
    if not sheet.outline.sets:
        return [*blocks, words("The job holds no current transformer yet.")]
    tests = _tests(sheet)
    count = -(-len(tests) // _ABREAST) or 1
    share = -(-len(tests) // count)
    for start in range(0, len(tests), share):
        blocks += [_table(sheet, tests[start : start + share]), Space(3.0)]
    return [*blocks, _key()]


def _table(sheet: Sheet, tests: Sequence[Procedure]) -> Grid:
    columns = [
        Column(share=0.5),
        Column(share=0.5),
        *(Column(width=3 * (MARK_WIDTH + 1.5) + 7.0),) * len(tests),
    ]
    size = 8.0 if len(tests) < _ABREAST else 7.0
    head = GridRow(
        (
            words("Set", font=BOLD),
            words("Core", font=BOLD),
            *(words(row.short_name, font=BOLD, size=size) for row in tests),
        ),
        rule=0.7,
        rule_white=0.0,
    )
    rows = [_row(sheet, core_set, number, tests) for number, core_set in enumerate(sheet.outline.sets)]
    return Grid(columns, [head, *rows], heads=1)


def _tests(sheet: Sheet) -> list[Procedure]:
    """The tests that any set of the job has, in the order of the day."""
    shown = {
        test.procedure_id for entry in sheet.outline.sets for test in procedures_shown(sheet.outline, entry)
    }
    return [test for test in PROCEDURES if test.procedure_id in shown]


def _row(sheet: Sheet, core_set: CoreSet, number: int, tests: Sequence[Procedure]) -> GridRow:
    before = sheet.outline.sets[number - 1] if number else None
    repeated = before is not None and before.position.position_id == core_set.position.position_id
    phases = ", ".join(member.label for member in core_set.members)
    core = core_set.first
    label = f"{core.number}  {core.class_text or 'class not stated'}"
    if tuple(member.ct.phase_text for member in core_set.members) != sheet.job.phase_names:
        label = f"{label}  ({phases})"
    return GridRow(
        (
            words("" if repeated else core_set.position.name_text, font=BOLD),
            words(label),
            *(
                Marks([sheet.outline.box(member, procedure) for member in core_set.members])
                for procedure in tests
            ),
        )
    )


def _key() -> Block:
    cells: list[Block] = [MarkedWord([verdict], verdict, size=7.5) for verdict in _ORDER]
    cells.append(words("the dot is the value, the brackets are its limits", size=7.5, align="right"))
    columns = [
        Column(width=52.0),
        Column(width=44.0),
        Column(width=56.0),
        Column(width=48.0),
        Column(width=70.0),
    ]
    return Grid([*columns, Column(share=1.0)], [GridRow(tuple(cells), rule=0.0)], pad=1.0)


RESULT = Section("result", build)
