"""Long texts in full, under the numbers that stand where they were shortened."""

from __future__ import annotations

from app.report.blocks import Block, Heading, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow
from app.report.whole_texts import mark
from app.words import said

HEADING_TEXT = "Long texts in full"


def build(sheet: Sheet) -> list[Block]:
    """One row a text; nothing where every text found room in its place."""
    if not sheet.whole_texts:
        return []
    rows = [
        GridRow((words(mark(number), font=BOLD), words(text))) for text, number in sheet.whole_texts.items()
    ]
    return [Heading(said(HEADING_TEXT)), Grid((Column(width=66.0), Column(share=1.0)), rows)]


WHOLE_TEXTS = Section("whole_texts", build, title=HEADING_TEXT)
