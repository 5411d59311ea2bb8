"""The mark after which nothing follows."""

from __future__ import annotations

from app.report.blocks import Block, Space, Stack, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.words import said

END_TEXT = "End of sheet"
SCOPE_TEXT = "Results relate only to the cores listed."


def build(sheet: Sheet) -> list[Block]:
    """The end mark with the number and the revision."""
    told = said(
        "{end} {number}, revision {revision}",
        end=said(END_TEXT),
        number=sheet.job.header.number_text,
        revision=sheet.given.revision,
    )
    scope = words(said(SCOPE_TEXT), size=7.5, align="middle")
    return [Stack(Space(12.0), words(f"———  {told}  ———", font=BOLD, align="middle"), scope)]


ENDING = Section("ending", build)
