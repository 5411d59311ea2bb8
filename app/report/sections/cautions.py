"""The cautions that were read at their step, by whom and when, and what this paper does not do."""

from __future__ import annotations

from app.report.blocks import Block, Framed, Heading, Run, Words, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.frame import AUTHORISES_TEXT
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.wording import moment

FIRST_TEXT = "Local law, the owner's safety rules and the person in charge come first."


def build(sheet: Sheet) -> list[Block]:
    """The list of acknowledgements, and the framed line that stands on every sheet."""
    framed = Framed(Words((Run(f"{AUTHORISES_TEXT} ", BOLD), Run(FIRST_TEXT))))
    if not sheet.job.acknowledgements:
        told = words("No caution was acknowledged in this record.")
        return [Heading("Cautions"), told, framed]
    columns = (Column(width=160.0), Column(share=1.0), Column(width=160.0))
    rows = [
        GridRow(
            (
                words(sheet.place(entry.core_id, entry.procedure_id)),
                words(entry.text or entry.caution_id),
                words(f"{sheet.person(entry.person_id)}, {moment(entry.at_utc, entry.utc_offset_minutes)}"),
            )
        )
        for entry in sheet.job.acknowledgements
    ]
    head = head_row(columns, ("Where", "Caution", "Read by"))
    return [Heading("Cautions read at the step"), Grid(columns, [head, *rows], heads=1), framed]


CAUTIONS = Section("cautions", build)
