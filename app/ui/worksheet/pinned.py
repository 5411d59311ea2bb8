"""Comments on the test of the page: which row each is pinned to, and what it says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from app.ui.plots.pins import Pin
from app.words import told
from ctcore.job import STEP_WORDS, Remark

if TYPE_CHECKING:
    from app.ui.worksheet.sheet import Sheet


@dataclass(frozen=True, slots=True)
class PinnedComment:
    """A comment with its row, empty where it is about the line as a whole; and what was said to it last."""

    row: str
    row_words: str
    words: str
    state: str

    @property
    def is_open(self) -> bool:
        """Whether an answer is waited for."""
        return self.state == "open"


def pinned(sheet: Sheet) -> tuple[PinnedComment, ...]:
    """The comments on this take that are not closed, in the order they were made."""
    core_id, procedure_id = sheet.core.core_id, sheet.procedure.procedure_id
    found = [
        one
        for one in sheet.view.job.remarks
        if (one.reading_id or one.finding_key)
        and (one.core_id, one.procedure_id) == (core_id, procedure_id)
        and one.state != "closed"
    ]
    if not found:
        return ()
    names = {person.person_id: person.name_text for person in sheet.view.job.people}
    rows = {line.row: line.words for line in sheet.rows}
    of_reading = {
        reading.reading_id: row.row
        for row in (*sheet.take.rows, sheet.take.method)
        for cell in row.cells.values()
        for reading in cell.readings
    }
    made = []
    for one in found:
        if one.reading_id and one.reading_id not in of_reading:
            continue
        row = of_reading[one.reading_id] if one.reading_id else _row_of_line(one, sheet)
        if row is not None:
            its = row if row in rows else ""
            made.append(PinnedComment(its, rows.get(its, ""), _said(one, names), one.state))
    return tuple(made)


def pins(sheet: Sheet) -> tuple[Pin, ...]:
    """A mark for each row that is commented on; of two comments on one row the open one counts."""
    by_row: dict[str, Pin] = {}
    for one in pinned(sheet):
        known = by_row.get(one.row)
        if one.row and (known is None or not known.is_open):
            by_row[one.row] = Pin(one.row, one.row_words, one.is_open)
    return tuple(by_row.values())


def _row_of_line(remark: Remark, sheet: Sheet) -> str | None:
    """The row of the judged line that a comment is about; None where it is of another take."""
    _, take, row, _ = ["", "", "", "", *remark.finding_key.rsplit("/", 3)][-4:]
    return row if take in ("", "0", str(sheet.take_number)) else None


def _said(remark: Remark, names: dict[str, str]) -> str:
    lines = [f"{names.get(remark.person_id, remark.person_id)}: {remark.text}"]
    for step in remark.steps:
        word = told(f"step.{step.kind}", STEP_WORDS[step.kind])
        words = f"{word}: {step.text}" if step.text else word
        lines.append(f"{names.get(step.person_id, step.person_id)}, {words}")
    return "\n".join(lines)
