"""Who tested, in whose words; empty boxes for those who sign by hand."""

from __future__ import annotations

from app.report.blocks import Block, Heading, Space, Stack, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD, TITLE
from app.report.pen import HAIR, RULE, Pen
from app.report.wording import moment

NOT_SIGNED_TEXT = "frozen, not cryptographically signed"
_PAD = 5.0
_GAP = 8.0
_LEAST_HEIGHT = 74.0


def build(sheet: Sheet) -> list[Block]:
    """Three boxes side by side."""
    note = NOT_SIGNED_TEXT if sheet.given.frozen else "draft, not frozen: nothing is declared yet"
    boxes = Boxes((_tested(sheet), _by_hand("Approved by"), _by_hand("Witnessed by")))
    return [Stack(Heading("Signatures", note), Space(4.0), boxes)]


def _tested(sheet: Sheet) -> tuple[Block, ...]:
    declared = sheet.given.declaration
    if declared is None or not sheet.given.frozen:
        return (words("Tested by", size=7.5), words("not declared yet", font=BOLD))
    person = next((entry for entry in sheet.job.people if entry.person_id == declared.person_id), None)
    employer = (
        ", ".join(part for part in (person.employer_text, person.authorisation_text) if part)
        if person
        else ""
    )
    return (
        words("Tested by", size=7.5),
        words(declared.name_text, font=TITLE, size=10.0),
        *((words(employer, size=7.5),) if employer else ()),
        words(declared.text),
        words(moment(declared.at_utc, declared.utc_offset_minutes)),
        words(NOT_SIGNED_TEXT, size=7.5),
    )


def _by_hand(title: str) -> tuple[Block, ...]:
    return (words(title, size=7.5),)


class Boxes(Block):
    """Equal boxes in a row; those to be filled by hand have lines for name, signature and date."""

    def __init__(self, columns: tuple[tuple[Block, ...], ...]) -> None:
        self.columns = columns

    def _each(self, width: float) -> float:
        return (width - _GAP * (len(self.columns) - 1)) / len(self.columns)

    def height(self, width: float) -> float:
        inner = self._each(width) - 2 * _PAD
        tallest = max(sum(block.height(inner) for block in column) for column in self.columns)
        return max(_LEAST_HEIGHT, tallest + 2 * _PAD)

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        each, high = self._each(width), self.height(width)
        for number, column in enumerate(self.columns):
            left = x + number * (each + _GAP)
            pen.box(left, top, each, high, width=RULE)
            at = top + _PAD
            for block in column:
                block.draw(pen, left + _PAD, at, each - 2 * _PAD)
                at += block.height(each - 2 * _PAD)
            if len(column) == 1:
                self._hand_lines(pen, left + _PAD, top, each - 2 * _PAD)

    def _hand_lines(self, pen: Pen, x: float, top: float, width: float) -> None:
        for number, label in enumerate(("Name", "Signature", "Date")):
            y = top + 30.0 + number * 18.0
            pen.text(x, y, label, size=7.0)
            pen.line(x + 40.0, y + 1.0, x + width, y + 1.0, width=HAIR)


SIGNATURES = Section("signatures", build)
