"""Comments of who decides, each with its answers and the reading that an answer refers to."""

from __future__ import annotations

from app.report.blocks import Block, Heading, Stack, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.wording import moment, reading_words
from app.words import said, told
from ctcore.job import STEP_WORDS, CommentStep, Remark

HEADING_TEXT = "Comments and answers"


def build(sheet: Sheet) -> list[Block]:
    """A row for each comment that wanted an answer; what was remarked stands with its core."""
    comments = [entry for entry in sheet.job.remarks if entry.state]
    if not comments:
        return []
    columns = (Column(width=132.0), Column(share=1.0), Column(width=58.0))
    head = head_row(columns, (said("Where"), said("Comment, and what was answered"), said("State")))
    note = said("as they stood when this revision was made")
    rows = [_row(sheet, entry) for entry in comments]
    return [Heading(said(HEADING_TEXT), note), Grid(columns, [head, *rows], heads=1)]


def _row(sheet: Sheet, entry: Remark) -> GridRow:
    pinned = reading_words(sheet.job, entry.reading_id)
    where = [words(sheet.place(entry.core_id, entry.procedure_id)), *([words(pinned)] if pinned else [])]
    told_of = [words(f"{_by(sheet, entry)}: {entry.text}")]
    told_of += [words(_step(sheet, step)) for step in entry.steps]
    return GridRow((Stack(*where), Stack(*told_of), words(entry.state, font=BOLD)))


def _step(sheet: Sheet, step: CommentStep) -> str:
    word = told(f"step.{step.kind}", STEP_WORDS[step.kind])
    about = reading_words(sheet.job, step.reading_id)
    what = f"{word} ({about})" if about else word
    return f"{_by(sheet, step)}: {what}{f': {step.text}' if step.text else ''}"


def _by(sheet: Sheet, entry: Remark | CommentStep) -> str:
    return f"{sheet.person(entry.person_id)}, {moment(entry.at_utc, entry.utc_offset_minutes)}"


COMMENTS = Section("comments", build, title=HEADING_TEXT)
