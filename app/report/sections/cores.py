"""One page, or more, for each core of a set: phases side by side."""

from __future__ import annotations

from app import progress
from app.report.blocks import Beside, Block, Heading, NewPage, Ruled, Space, Stack, words
from app.report.content import Section, Sheet
from app.report.contents import Mark
from app.report.core_page.charts import charts
from app.report.core_page.equipment import equipment
from app.report.core_page.plate import plate
from app.report.core_page.points import excitation
from app.report.core_page.results import results
from app.report.fonts import TITLE
from app.report.grid import Column, Grid, GridRow
from app.report.marks import MarkedWord
from app.report.outline import CoreSet
from app.report.pen import RULE
from app.report.wording import moment, span
from app.words import said

_FIRST_BELOW = 0.45


def build(sheet: Sheet) -> list[Block]:
    """The pages of all sets, in the contents by position."""
    sets = sheet.outline.sets
    before: list[CoreSet | None] = [None, *sets[:-1]]
    pairs = list(zip(sets, before, strict=False))
    return [block for core_set, last in progress.each(pairs, "set") for block in _page(sheet, core_set, last)]


def _page(sheet: Sheet, core_set: CoreSet, before: CoreSet | None) -> list[Block]:
    whole = sheet.outline.whole(core_set)
    remarks = _remarks(sheet, core_set)
    used = equipment(sheet, core_set)
    return [
        # The first one goes on under a short end of what comes before; one core never stands under another.
        NewPage(core_set.title, stays_below=_FIRST_BELOW if before is None else 0.0),
        *([Mark(core_set.place, 1)] if before is None or before.position != core_set.position else []),
        Mark(core_set.name, 2),
        Beside(
            (390.0, words(core_set.title, font=TITLE, size=14.0)),
            (0.0, MarkedWord([whole], whole, size=11.0, align="right")),
        ),
        words(_subtitle(sheet, core_set)),
        Ruled(RULE),
        *plate(core_set),
        *results(sheet, core_set),
        *([Stack(Heading(said("Instruments"), size=9.0), *used, whole=True)] if used else []),
        *excitation(sheet, core_set),
        *charts(sheet, core_set),
        *([Heading(said("Remarks")), *remarks] if remarks else []),
        Space(6.0),
    ]


def _subtitle(sheet: Sheet, core_set: CoreSet) -> str:
    readings = tuple(
        entry for core_id in core_set.core_ids for entry in sheet.outline.readings.get(core_id, ())
    )
    phases = ", ".join(member.label for member in core_set.members)
    when = span(readings)
    return " · ".join(
        part
        for part in (
            sheet.job.header.site_text,
            phases,
            said("tests {when}", when=when) if when else said("no readings"),
        )
        if part
    )


def _remarks(sheet: Sheet, core_set: CoreSet) -> list[Block]:
    entries = [entry for entry in sheet.job.remarks if entry.core_id in core_set.core_ids and not entry.state]
    rows = [
        GridRow(
            (
                words(sheet.place(entry.core_id, entry.procedure_id)),
                words(entry.text),
                words(f"{sheet.person(entry.person_id)}, {moment(entry.at_utc, entry.utc_offset_minutes)}"),
            )
        )
        for entry in entries
    ]
    if not rows:
        return []
    return [Grid((Column(width=110.0), Column(share=1.0), Column(width=130.0)), rows)]


CORES = Section("cores", build, title="Cores")
