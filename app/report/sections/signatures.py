"""Who tested, in whose words; the approval; empty boxes for those who sign by hand.

A sheet that is to be signed leaves places: for both signatures, and for what the approver decides. They are
filled in the finished file, so that nothing else of it has to change.
"""

from __future__ import annotations

from app.record.sheet_signing import (
    APPROVED_FIELD,
    CONCESSIONS_FIELD,
    DECISION_FIELD,
    NAME_FIELD,
    TESTED_FIELD,
    TIME_FIELD,
)
from app.report.blocks import Block, Heading, Space, Stack, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD, TITLE
from app.report.frame import NOT_SIGNED_TEXT
from app.report.pen import HAIR, RULE, Pen
from app.report.wording import moment

_PAD = 5.0
_GAP = 8.0
_LEAST_HEIGHT = 74.0
_SIGNATURE_HEIGHT = 28.0
_LINE_HEIGHT = 14.0
_CONCESSIONS_HEIGHT = 60.0
_LABEL_WIDTH = 62.0
_TO_BE_SIGNED_TEXT = "they are in the file; a reader of PDF checks them"


def build(sheet: Sheet) -> list[Block]:
    """Three boxes side by side; under them, on a sheet that is to be signed, what the approver decides."""
    if sheet.given.signed and sheet.given.frozen:
        boxes = Boxes((_tested(sheet), _approved(), _by_hand("Witnessed by")))
        heading = Heading("Signatures", _TO_BE_SIGNED_TEXT)
        return [Stack(heading, Space(4.0), Together(boxes, Space(4.0), Approval()))]
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
    under: Block = (
        Place(TESTED_FIELD, _SIGNATURE_HEIGHT) if sheet.given.signed else words(NOT_SIGNED_TEXT, size=7.5)
    )
    return (
        words("Tested by", size=7.5),
        words(declared.name_text, font=TITLE, size=10.0),
        *((words(employer, size=7.5),) if employer else ()),
        words(declared.text),
        words(moment(declared.at_utc, declared.utc_offset_minutes)),
        under,
    )


def _approved() -> tuple[Block, ...]:
    return (
        words("Approved by", size=7.5),
        Place(NAME_FIELD, _LINE_HEIGHT),
        Place(TIME_FIELD, _LINE_HEIGHT),
        Place(APPROVED_FIELD, _SIGNATURE_HEIGHT),
    )


def _by_hand(title: str) -> tuple[Block, ...]:
    return (words(title, size=7.5),)


class Place(Block):
    """An empty place with a name, so high, filled in after the sheet is drawn."""

    def __init__(self, name: str, points: float) -> None:
        self.name = name
        self.points = points

    def height(self, width: float) -> float:
        return self.points

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        pen.spot(self.name, x, top, width, self.points)


class Approval(Block):
    """A box for the decision and the concessions."""

    def height(self, width: float) -> float:
        return _LINE_HEIGHT + _CONCESSIONS_HEIGHT + 2 * _PAD

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        pen.box(x, top, width, self.height(width), width=RULE)
        at = top + _PAD
        for label, name, high in (
            ("Decision", DECISION_FIELD, _LINE_HEIGHT),
            ("Concessions", CONCESSIONS_FIELD, _CONCESSIONS_HEIGHT),
        ):
            pen.text(x + _PAD, at + 9.0, label, size=7.5)
            pen.spot(name, x + _LABEL_WIDTH, at, width - _LABEL_WIDTH - _PAD, high)
            at += high


class Together(Stack):
    """Blocks that stay on one page: what is approved stands under who approves it."""

    def least(self, width: float) -> float:
        return self.height(width)

    def split(self, width: float, space: float) -> tuple[Block, Block] | None:
        return None


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


SIGNATURES = Section("signatures", build, title="Signatures")
