"""The cautions that were read at their step, by whom and when, and what this paper does not do."""

from __future__ import annotations

from collections.abc import Sequence

from app.report.blocks import Block, Framed, Heading, Run, Space, Stack, Words, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.frame import AUTHORISES_TEXT
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.wording import day, local, moment
from app.words import all_procedures, caution, said
from app.words.tables import ENGLISH, table
from ctcore.job import Acknowledgement
from ctcore.landing import Landing

FIRST_TEXT = "Local law, the owner's safety rules and the person in charge come first."


def build(sheet: Sheet) -> list[Block]:
    """Each caution once, with who read it where and when; then the framed line that stands on every sheet."""
    framed = Framed(Words((Run(f"{said(AUTHORISES_TEXT)} ", BOLD), Run(said(FIRST_TEXT)))))
    groups: dict[tuple[str, str, str], list[Acknowledgement]] = {}
    for entry in sheet.job.acknowledgements:
        groups.setdefault((entry.caution_id, entry.text, entry.person_id), []).append(entry)
    if not groups:
        told = words(said("No caution was acknowledged in this record."))
        return [Stack(Heading(said("Cautions")), told, Space(4.0), framed), *_landed(sheet)]
    columns = (Column(share=0.34), Column(width=80.0), Column(share=0.66))
    rows = [
        GridRow(
            (
                words(text or hazard(caution_id) or caution_id),
                words(sheet.person(person_id)),
                words(_where_and_when(sheet, entries)),
            )
        )
        for (caution_id, text, person_id), entries in groups.items()
    ]
    head = head_row(columns, (said("Caution"), said("Read by"), said("Where and when")))
    grid = Grid(columns, [head, *rows], heads=1)
    return [Heading(said("Cautions read at the step")), grid, Space(4.0), framed, *_landed(sheet)]


def _landed(sheet: Sheet) -> list[Block]:
    """The leads of each test that were ticked as landed, by whom, where and when the last of them.

    Cores with the same list stand in one row; the time of every tick is in the job inside the file.
    """
    by_core: dict[tuple[str, str, str], list[Landing]] = {}
    for entry in sheet.job.landings:
        by_core.setdefault((entry.procedure_id, entry.person_id, entry.core_id), []).append(entry)
    groups: dict[tuple[str, tuple[str, ...], str], list[Landing]] = {}
    for (procedure_id, person_id, _), ticked in by_core.items():
        last = max(ticked, key=lambda one: one.at_utc)
        leads = tuple(one.text for one in ticked)
        groups.setdefault((procedure_id, leads, person_id), []).append(last)
    if not groups:
        return []
    columns = (Column(share=0.34), Column(width=80.0), Column(share=0.66))
    rows = [
        GridRow(
            (
                words(
                    said("{test}: 1 lead", test=test_name(procedure_id))
                    if len(leads) == 1
                    else said("{test}: {count} leads", test=test_name(procedure_id), count=len(leads))
                ),
                words(sheet.person(person_id)),
                Stack(words("; ".join(leads)), words(_where_and_when(sheet, last))),
            )
        )
        for (procedure_id, leads, person_id), last in groups.items()
    ]
    head = head_row(
        columns, (said("Leads ticked as landed"), said("Ticked by"), said("Which; where, and when the last"))
    )
    return [Space(6.0), Grid(columns, [head, *rows], heads=1)]


def hazard(caution_id: str) -> str:
    """The hazard that a caution warns of; empty where this version does not know the caution."""
    known = f"{caution_id}.hazard" in table("cautions", ENGLISH)
    return caution(caution_id, "hazard") if known else ""


def test_name(procedure_id: str) -> str:
    """The name of a test; the id where this version does not know it."""
    return next((one.name for one in all_procedures() if one.procedure_id == procedure_id), procedure_id)


def _where_and_when(sheet: Sheet, entries: Sequence[Acknowledgement | Landing]) -> str:
    """Places with their times, each position and each day named once."""
    told = []
    position, date_text = "", ""
    for entry in entries:
        name, place = _place(sheet, entry.core_id)
        at = local(entry.at_utc, entry.utc_offset_minutes)
        date_here = day(at.date()) if at else moment(entry.at_utc, entry.utc_offset_minutes)
        lead = f"{date_here}: " if date_here != date_text else ""
        lead += f"{name} " if name and (name != position or lead) else ""
        told.append(f"{lead}{place} {at:%H:%M}" if at else f"{lead}{place}")
        position, date_text = name, date_here
    return ", ".join(told)


def _place(sheet: Sheet, core_id: str) -> tuple[str, str]:
    for core_set in sheet.outline.sets:
        for member in core_set.members:
            if member.core.core_id == core_id:
                return core_set.position.name_text, said(
                    "{label} core {number}", label=member.label, number=member.core.number
                )
    return "", core_id or said("whole job")


CAUTIONS = Section("cautions", build, title="Cautions")
