"""The tables of marks: every test of every core, or of every position where a page has no room for them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.report.blocks import Block, Space, words
from app.report.content import Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow
from app.report.marks import MARK_WIDTH, Marks
from app.report.outline import CoreSet, procedures_shown
from app.words import procedure_in_words, said
from ctcore.findings import worst
from ctcore.procedure import Procedure
from ctcore.procedures import PROCEDURES

# So many tests have room beside the names of set and core, and so many rows on the first page.
_ABREAST: Final = 5
_ROWS: Final = 14
_NARROW: Final = 46.0
_NARROW_ABREAST: Final = 7


def fits(sheet: Sheet) -> bool:
    """Whether every core has its row on the first page."""
    return len(sheet.outline.sets) * _tables_of(len(_tests(sheet)), _ABREAST) <= _ROWS


def every_core(sheet: Sheet) -> list[Block]:
    """One row for each core of a set with a mark for each phase; many tests take several tables."""
    blocks: list[Block] = []
    for tests in _shared(_tests(sheet), _ABREAST):
        blocks += [_table(sheet, tests), Space(3.0)]
    return blocks


def every_position(sheet: Sheet) -> list[Block]:
    """One row for each position with the worst mark of each test; the whole job where they are too many."""
    by_name: dict[str, list[CoreSet]] = {}
    for core_set in sheet.outline.sets:
        by_name.setdefault(core_set.position.position_id, []).append(core_set)
    groups = [
        (sets[0].position.name_text or said("Position without a name"), sets) for sets in by_name.values()
    ]
    tests = _tests(sheet)
    if len(groups) * _tables_of(len(tests), _NARROW_ABREAST) > _ROWS:
        groups = [(said("All {count} positions", count=len(groups)), list(sheet.outline.sets))]
    blocks: list[Block] = []
    for part in _shared(tests, _NARROW_ABREAST):
        columns = (Column(share=1.0), Column(width=34.0), *(Column(width=_NARROW),) * len(part))
        head = _head((said("Set"), said("Cores")), part, 6.5)
        rows = [_position_row(sheet, name, sets, part) for name, sets in groups]
        blocks += [Grid(columns, [head, *rows], heads=1, pad=1.4), Space(3.0)]
    return blocks


def _position_row(sheet: Sheet, name: str, sets: Sequence[CoreSet], tests: Sequence[Procedure]) -> GridRow:
    members = [member for core_set in sets for member in core_set.members]
    boxes = (worst(sheet.outline.box(member, test) for member in members) for test in tests)
    return GridRow((words(name, font=BOLD), words(str(len(members))), *(Marks([box]) for box in boxes)))


def _shared(tests: Sequence[Procedure], abreast: int) -> list[Sequence[Procedure]]:
    """The tests in tables of about equal width."""
    share = -(-len(tests) // _tables_of(len(tests), abreast)) or 1
    return [tests[start : start + share] for start in range(0, len(tests), share)]


def _tables_of(tests: int, abreast: int) -> int:
    return -(-tests // abreast) or 1


def _head(titles: Sequence[str], tests: Sequence[Procedure], size: float) -> GridRow:
    named = (
        *(words(title, font=BOLD) for title in titles),
        *(words(procedure_in_words(row).short_name, font=BOLD, size=size) for row in tests),
    )
    return GridRow(named, rule=0.7, rule_white=0.0)


def _table(sheet: Sheet, tests: Sequence[Procedure]) -> Grid:
    columns = [
        Column(share=0.5),
        Column(share=0.5),
        *(Column(width=3 * (MARK_WIDTH + 1.5) + 7.0),) * len(tests),
    ]
    size = 8.0 if len(tests) < _ABREAST else 7.0
    head = _head((said("Set"), said("Core")), tests, size)
    rows = [_row(sheet, core_set, number, tests) for number, core_set in enumerate(sheet.outline.sets)]
    return Grid(columns, [head, *rows], heads=1, pad=1.6)


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
    label = f"{core.number}  {core.class_text or said('class not stated')}"
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
