"""The steps of the core on the page, with the mark and word of each."""

from __future__ import annotations

from app.ui.texts import text
from app.ui.worksheet.sheet import Sheet
from app.ui.worksheet.steps import StepLine
from app.words import procedure_in_words, verdict_word
from ctcore.findings import worst
from ctcore.procedures import planned


def step_lines(sheet: Sheet, row_in_hand: str, *, locked: bool) -> tuple[StepLine, ...]:
    """One line per planned test; the open one says which row is being keyed."""
    return tuple(
        _line(sheet, procedure.procedure_id, number, procedure.short_name, row_in_hand, locked)
        for number, procedure in enumerate(map(procedure_in_words, planned(sheet.core)), start=1)
    )


def _line(
    sheet: Sheet, procedure_id: str, number: int, name: str, row_in_hand: str, locked: bool
) -> StepLine:
    findings = sheet.view.findings.get(sheet.core.core_id, ())
    verdict = worst(entry.verdict for entry in findings if entry.procedure == procedure_id)
    is_open = procedure_id == sheet.procedure.procedure_id
    if not is_open or locked:
        return StepLine(procedure_id, number, name, verdict, verdict_word(verdict), is_open)
    words = next((row.words for row in sheet.rows if row.row == row_in_hand), "")
    word = text("steps.row", row=words) if words and row_in_hand.isdigit() else text("steps.open")
    if len(sheet.take_numbers) > 1:
        word = text("steps.take", take=sheet.take_number, count=sheet.take_numbers[-1])
    return StepLine(procedure_id, number, name, "being keyed", word, is_open)
