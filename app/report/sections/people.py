"""The people named on the sheet."""

from __future__ import annotations

from app.report.blocks import Block, Heading, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from ctcore.job import Person
from ctcore.procedures import PROCEDURES

_NAMES = {test.procedure_id: test.name.lower() for test in PROCEDURES}


def build(sheet: Sheet) -> list[Block]:
    """Name, employer, authorisation."""
    if not sheet.job.people:
        return []
    columns = (Column(share=0.3), Column(share=0.35), Column(share=0.35))
    rows = [
        GridRow(
            (
                words(person.name_text, font=BOLD),
                words(person.employer_text or "not stated"),
                words(_standing(person)),
            )
        )
        for person in sheet.job.people
    ]
    head = head_row(columns, ("Name", "Employer", "Authorisation"))
    return [Heading("People"), Grid(columns, [head, *rows], heads=1)]


def _standing(person: Person) -> str:
    """The authorisation of a person, and the tests that a witness watched."""
    watched = ", ".join(_NAMES.get(test, test) for test in person.witnessed)
    authorised = person.authorisation_text or "not stated"
    return f"{authorised}; watched {watched}" if watched else authorised


PEOPLE = Section("people", build, title="People")
