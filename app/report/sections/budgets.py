"""Uncertainty line by line, of every figure whose decision took it into account."""

from __future__ import annotations

from collections.abc import Iterator
from math import isclose

from app.report.blocks import SMALL_SIZE, Block, Heading, Run, Words, words
from app.report.content import Section, Sheet
from app.report.fonts import BODY, BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.wording import (
    limit_text,
    of_value,
    quantity_or_plain,
    row_words,
    uncertainty,
    with_symbol,
)
from app.words import figures, retold, said, verdict_word
from ctcore.findings import Finding, conformance_text
from ctcore.job import Place, places
from ctcore.judge import budget_of, scene_of
from ctcore.procedures import PROCEDURES
from ctcore.quantities import Quantity
from ctcore.uncertainty import Budget

# The same readings give the same figure but for the last bits of another processor.
_ALIKE_REL = 1e-9


def build(sheet: Sheet) -> list[Block]:
    """A table; nothing where the job decides by the figures alone, since no decision rests on it there."""
    if sheet.job.references.decision_rule == "simple":
        return []
    columns = (Column(share=0.36), Column(width=70.0, align="right"), Column(width=40.0, align="right"),
               Column(share=0.64))  # fmt: skip
    core_places = {place.core.core_id: place for place in places(sheet.job)}
    rows = [
        row
        for finding in sheet.given.findings
        if finding.u_expanded is not None and finding.limit is not None and finding.core in core_places
        for row in _of_finding(sheet, core_places[finding.core], finding)
    ]
    if not rows:
        return []
    head = head_row(columns, (said("Part"), said("Adds, k = 1"), said("Share"), said("From")))
    note = said("of the figures judged with their uncertainty; U: k = 2")
    return [Heading(said("Uncertainty, line by line"), note), Grid(columns, [head, *rows], heads=1, pad=1.7)]


def _of_finding(sheet: Sheet, place: Place, finding: Finding) -> Iterator[GridRow]:
    row = quantity_or_plain(finding.quantity)
    yield GridRow((_title(sheet, place, finding, row),), wide=True, keep_next=True)
    budget = _budget(sheet, place, finding)
    if budget is None:
        told = said("Not told apart by this version of the program; U is that of the record.")
        yield GridRow((words(told, size=SMALL_SIZE),), wide=True)
        return
    for line in budget.rows():
        source = ", ".join(retold(part) for part in (line.source, line.distribution) if part)
        share = figures.with_unit(line.share_percent, "percent", decimals=0)
        cells = (retold(line.name), with_symbol(uncertainty(abs(line.contribution), row), row), share, source)
        yield GridRow(tuple(words(cell, size=SMALL_SIZE) for cell in cells))


def _title(sheet: Sheet, place: Place, finding: Finding, row: Quantity) -> Words:
    test = next((one for one in PROCEDURES if one.procedure_id == finding.procedure), None)
    at = row_words(finding.row, place.core, test) if test is not None and finding.row else ""
    value = with_symbol(of_value(finding.value, row), row)
    u = with_symbol(uncertainty(finding.u_expanded, row), row)
    told = f"{value} ± {u}, {limit_text(finding, row, unit=True)}: {verdict_word(finding.verdict)}"
    sure = retold(conformance_text(finding))
    where = ", ".join(part for part in (sheet.place(finding.core, finding.procedure), at, row.name) if part)
    return Words((Run(f"{where}   ", BOLD), Run("; ".join(part for part in (told, sure) if part), BODY)))


def _budget(sheet: Sheet, place: Place, finding: Finding) -> Budget | None:
    """The budget of a finding; None where it does not come to the uncertainty that the record states."""
    takes = sheet.outline.takes.get((finding.core, finding.procedure), ())
    take = next((one for one in takes if one.take == finding.take), None)
    if take is None:
        return None
    scene = scene_of(sheet.job, place, sheet.outline.takes)
    found = budget_of(scene, take, finding.row, finding.quantity)
    stated = finding.u_expanded
    if found is None or stated is None or not isclose(found.u_expanded, stated, rel_tol=_ALIKE_REL):
        return None
    return found


BUDGETS = Section("budgets", build, title="Uncertainty, line by line")
