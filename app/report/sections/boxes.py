"""Every box of the job as a mark, where the first page shows the worst of each position alone."""

from __future__ import annotations

from app.report import matrix
from app.report.blocks import Block, Heading, NewPage
from app.report.content import Section, Sheet
from app.words import said

TITLE_TEXT = "Every test of every core"


def build(sheet: Sheet) -> list[Block]:
    """The whole table; nothing where it stands on the first page already."""
    if matrix.fits(sheet):
        return []
    phases = ", ".join(sheet.job.phase_names)
    return [
        NewPage(said(TITLE_TEXT)),
        Heading(said(TITLE_TEXT), said("marks: {phases}", phases=phases), above=0.0),
        *matrix.every_core(sheet),
    ]


BOXES = Section("boxes", build, title=TITLE_TEXT)
