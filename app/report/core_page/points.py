"""The excitation of a set: points of the phases side by side, and their plot."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from app.report.blocks import Beside, Block, Figure, Heading, Run, Space, Words, words
from app.report.content import Sheet
from app.report.core_page.lines import cell_text
from app.report.fonts import BODY, BOLD
from app.report.grid import Column, Grid, GridRow
from app.report.outline import CoreSet, Performance, procedures_shown
from app.report.plots.excitation import ExcitationPlot, KneeMark, Series
from app.report.wording import of_reading, quantity_or_plain, symbol
from app.words import said
from ctcore.procedure import Procedure
from ctcore.takes import Cell, Row, Take

PLOT_HEIGHT = 208.0
TALL_PLOT_HEIGHT = 268.0
BESIDE_ROWS = 18
_POINT_PITCH = 12.4
_VOLTS, _AMPS = "v_excitation_v", "i_excitation_a"
_KNEES = {"v_knee_iec_v": "iec", "v_knee_tangent45_v": "tangent45", "v_knee_tangent30_v": "tangent30"}


def excitation(sheet: Sheet, core_set: CoreSet) -> list[Block]:
    """Table and plot of every curve of the set; nothing where no point was taken."""
    blocks: list[Block] = []
    for procedure in procedures_shown(sheet.outline, core_set):
        if procedure.curve == "excitation":
            for performance in sheet.outline.performances(core_set, procedure):
                blocks += _one(sheet, core_set, procedure, performance)
    return blocks


def _one(sheet: Sheet, core_set: CoreSet, procedure: Procedure, performance: Performance) -> list[Block]:
    rows = _row_names(performance)
    if not rows:
        return []
    tap = core_set.first.tap(performance.subject)
    fed = tap.terminals_text if tap else performance.subject or said("terminals not stated")
    heading = Heading(
        said("Excitation, fed at {fed}", fed=fed),
        said("equal decades; lined through: struck, not on the curve"),
    )
    series = [
        _series(sheet, core_set, procedure, number, take)
        for number, take in enumerate(performance.takes)
        if take is not None
    ]
    limit = _limit(sheet, core_set, procedure, performance)
    drawable = any(len(entry.points) > 1 for entry in series)
    if not drawable:
        return [heading, *_tables(core_set, performance, rows, columns_abreast=2)]
    if len(rows) <= BESIDE_ROWS:
        high = max(PLOT_HEIGHT, (len(rows) + 1) * _POINT_PITCH)
        table = _tables(core_set, performance, rows, columns_abreast=1)[0]
        share = 30.0 + max(80.0, 52.0 * len(series))
        plot = ExcitationPlot(series, limit=limit, high=high)
        return [heading, Space(3.0), Beside((share, table), (0.0, plot), gap=12.0)]
    if len(series) == 1 and len(rows) <= 2 * BESIDE_ROWS:
        high = max(PLOT_HEIGHT, (len(rows) // 2 + 2) * _POINT_PITCH)
        half = math.ceil(len(rows) / 2)
        pair = [_table(core_set, performance, part) for part in (rows[:half], rows[half:])]
        plot = ExcitationPlot(series, limit=limit, high=high)
        return [heading, Space(3.0), Beside((108.0, pair[0]), (108.0, pair[1]), (0.0, plot), gap=10.0)]
    plot = ExcitationPlot(series, limit=limit, high=TALL_PLOT_HEIGHT)
    return [heading, Space(3.0), plot, Space(6.0), *_tables(core_set, performance, rows, columns_abreast=2)]


def _row_names(performance: Performance) -> list[str]:
    names = dict.fromkeys(row.row for take in performance.takes if take for row in take.rows)
    return sorted(names, key=lambda name: (0, int(name), "") if name.isdecimal() else (1, 0, name))


def _tables(
    core_set: CoreSet, performance: Performance, rows: Sequence[str], *, columns_abreast: int
) -> list[Block]:
    """The points, in one column of rows or in two beside each other, in strips of a page's length."""
    if columns_abreast == 1:
        return [_table(core_set, performance, rows)]
    strip = 20
    blocks: list[Block] = []
    for start in range(0, len(rows), 2 * strip):
        here = rows[start : start + 2 * strip]
        half = math.ceil(len(here) / 2)
        tables = [_table(core_set, performance, part) for part in (here[:half], here[half:]) if part]
        if len(tables) == 1:
            blocks.append(tables[0])
        else:
            blocks += [Beside((244.0, tables[0]), (0.0, tables[1]), gap=14.0), Space(4.0)]
    return blocks


def _table(core_set: CoreSet, performance: Performance, rows: Sequence[str]) -> Grid:
    columns = [Column(width=14.0, align="right")]
    titles = [""]
    for member, take in zip(core_set.members, performance.takes, strict=True):
        if take is not None:
            columns += [Column(share=0.5, align="right")] * 2
            titles += [
                f"{member.label}  {symbol(quantity_or_plain(_VOLTS))}",
                symbol(quantity_or_plain(_AMPS)),
            ]
    head = GridRow(
        tuple(words(title, font=BOLD, size=8.0, align="right") for title in titles),
        rule=0.7, rule_white=0.0, keep_next=True,
    )  # fmt: skip
    body = [_point(performance, name) for name in rows]
    return Grid(columns, [head, *body], heads=1, pad=0.8)


def _point(performance: Performance, name: str) -> GridRow:
    cells: list[Block] = [words(name, size=8.0, align="right")]
    for take in performance.takes:
        if take is not None:
            row = take.row(name)
            cells += [_cell(row, _VOLTS, BODY), _cell(row, _AMPS, BOLD)]
    return GridRow(tuple(cells), rule=0.3, rule_white=0.75)


def _cell(row: Row, quantity_id: str, font: str) -> Block:
    cell = row.cell(quantity_id)
    struck = _struck_text(cell, quantity_id)
    if struck:
        return Words((Run(struck, BODY),), size=8.0, align="right", struck=True)
    text = "" if cell.empty else cell_text(cell, quantity_id)
    return Figure(text, font=font, size=8.0)


def _struck_text(cell: Cell, quantity_id: str) -> str:
    """The reading that a strike-out took from the curve; it stays legible."""
    if len(cell.standing) != 1 or not cell.standing[0].struck:
        return ""
    kept = [entry for entry in cell.readings if entry.value_text is not None]
    return of_reading(kept[-1], quantity_or_plain(quantity_id)) if kept else said("struck")


def _series(sheet: Sheet, core_set: CoreSet, procedure: Procedure, number: int, take: Take) -> Series:
    points = tuple(
        (current, voltage)
        for row in sorted(take.rows, key=lambda row: int(row.row) if row.row.isdecimal() else 0)
        for current, voltage in [(row.cell(_AMPS).number, row.cell(_VOLTS).number)]
        if current is not None and voltage is not None and current > 0.0 and voltage > 0.0
    )
    derived = sheet.outline.derived.get((take.core_id, procedure.procedure_id, take.take), ())
    knees = []
    for entry in derived:
        definition = _KNEES.get(entry.quantity_id)
        if definition and isinstance(entry.value, float) and entry.value > 0.0:
            current = current_at(points, entry.value)
            if current is not None:
                knees.append(KneeMark(definition, entry.value, current))
    return Series(core_set.members[number].label, number, points, tuple(knees))


def current_at(points: Sequence[tuple[float, float]], voltage: float) -> float | None:
    """Where to draw a voltage on the line through the points, straight on log-log; None outside of it.

    >>> current_at([(0.01, 100.0), (0.04, 400.0)], 200.0)
    0.02
    """
    for (i1, v1), (i2, v2) in pairwise(points):
        if v1 <= voltage <= v2 and v2 > v1:
            share = math.log(voltage / v1) / math.log(v2 / v1)
            return float(f"{i1 * (i2 / i1) ** share:.12g}")
    return None


def _limit(
    sheet: Sheet, core_set: CoreSet, procedure: Procedure, performance: Performance
) -> tuple[float, float] | None:
    """The plate's largest current at its knee voltage, where the curve was judged against both."""
    for member, take in zip(core_set.members, performance.takes, strict=True):
        if take is None:
            continue
        found = sheet.outline.findings.get((member.core.core_id, procedure.procedure_id), ())
        amps = [f.limit_high for f in found if f.quantity == "i_excitation_at_ek_a" and f.limit_high]
        volts = [f.limit_low for f in found if f.quantity.startswith("v_knee") and f.limit_low]
        if amps and volts:
            return (amps[0], volts[0])
    return None
