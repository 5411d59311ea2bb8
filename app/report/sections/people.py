"""The people named on the sheet."""

from __future__ import annotations

from app.report.blocks import Block, Heading, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow, head_row


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
                words(person.authorisation_text or "not stated"),
            )
        )
        for person in sheet.job.people
    ]
    head = head_row(columns, ("Name", "Employer", "Authorisation"))
    return [Heading("People"), Grid(columns, [head, *rows], heads=1)]


PEOPLE = Section("people", build)
