"""What the program noticed beside the findings: each with its question, none of it a verdict."""

from __future__ import annotations

from app.report.blocks import Block, Heading, Stack, words
from app.report.content import Section, Sheet
from app.report.grid import Column, Grid, GridRow, head_row
from app.words import retold, said
from ctcore.notices import Notice, notices


def build(sheet: Sheet) -> list[Block]:
    """A line for each thing noticed; nothing where nothing was."""
    found = notices(sheet.job, sheet.outline.takes)
    if not found:
        return []
    columns = (Column(width=138.0), Column(share=1.0))
    head = head_row(columns, (said("Where"), said("Noticed, and what is asked")))
    note = said("no verdict rests on it, and nothing was corrected by it")
    return [
        Heading(said("Noticed by the program"), note),
        Grid(columns, [head, *(_row(sheet, notice) for notice in found)], heads=1),
    ]


def _row(sheet: Sheet, notice: Notice) -> GridRow:
    where = [words(sheet.place(core_id, notice.procedure)) for core_id in notice.cores]
    told = [words(retold(notice.sentence))]
    if notice.offer is not None:
        told.append(words(said("Offered, not done: {words}.", words=retold(notice.offer.words))))
    return GridRow((Stack(*where), Stack(*told)))


NOTICED = Section("noticed", build, title="Noticed by the program")
