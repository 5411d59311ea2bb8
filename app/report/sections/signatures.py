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
from app.report.fonts import BODY, BOLD, TITLE, face
from app.report.frame import NOT_SIGNED_TEXT
from app.report.pen import HAIR, RULE, Pen
from app.report.wording import moment
from app.words import said

_PAD = 5.0
_GAP = 8.0
_LEAST_HEIGHT = 74.0
_SIGNATURE_HEIGHT = 28.0
_LINE_HEIGHT = 14.0
_CONCESSIONS_HEIGHT = 60.0
_LABEL_WIDTH = 62.0
_HAND_PITCH = 18.0
_WITNESSES = 2
_TO_BE_SIGNED_TEXT = "they are in the file; a reader of PDF checks them"


def build(sheet: Sheet) -> list[Block]:
    """Three boxes side by side; under them, on a sheet that is to be signed, what the approver decides."""
    if sheet.given.signed and sheet.given.frozen:
        boxes = Boxes((_tested(sheet), _approved(), _witnessed(sheet)))
        heading = Heading(said("Signatures"), said(_TO_BE_SIGNED_TEXT))
        return [Stack(heading, Space(4.0), Together(boxes, Space(4.0), Approval()))]
    note = said(NOT_SIGNED_TEXT) if sheet.given.frozen else said("draft, not frozen: nothing is declared yet")
    boxes = Boxes((_tested(sheet), _by_hand(said("Approved by")), _witnessed(sheet)))
    return [Stack(Heading(said("Signatures"), note), Space(4.0), boxes)]


def _tested(sheet: Sheet) -> tuple[Block, ...]:
    declared = sheet.given.declaration
    if declared is None or not sheet.given.frozen:
        return (words(said("Tested by"), size=7.5), words(said("not declared yet"), font=BOLD))
    person = next((entry for entry in sheet.job.people if entry.person_id == declared.person_id), None)
    employer = (
        ", ".join(part for part in (person.employer_text, person.authorisation_text) if part)
        if person
        else ""
    )
    under: Block = (
        Place(TESTED_FIELD, _SIGNATURE_HEIGHT)
        if sheet.given.signed
        else words(said(NOT_SIGNED_TEXT), size=7.5)
    )
    return (
        words(said("Tested by"), size=7.5),
        words(declared.name_text, font=TITLE, size=10.0),
        *((words(employer, size=7.5),) if employer else ()),
        words(declared.text),
        words(moment(declared.at_utc, declared.utc_offset_minutes)),
        under,
    )


def _approved() -> tuple[Block, ...]:
    return (
        words(said("Approved by"), size=7.5),
        Place(NAME_FIELD, _LINE_HEIGHT),
        Place(TIME_FIELD, _LINE_HEIGHT),
        Place(APPROVED_FIELD, _SIGNATURE_HEIGHT),
    )


def _by_hand(title: str) -> tuple[Block, ...]:
    return (words(title, size=7.5), HandLines((said("Name"), said("Signature"), said("Date"))))


def _witnessed(sheet: Sheet) -> tuple[Block, ...]:
    """Who watched, by name, each with a line to sign on; what they watched stands under "People"."""
    names = [person.name_text for person in sheet.job.people if person.witnessed or person.watched]
    if not names:
        return _by_hand(said("Witnessed by"))
    blocks: list[Block] = [words(said("Witnessed by"), size=7.5)]
    for name in names[:_WITNESSES]:
        blocks += [words(name, font=BOLD), HandLines((said("Signature, date"),))]
    if names[_WITNESSES:]:
        blocks.append(
            words(said("and {count} more, named under “People”", count=len(names) - _WITNESSES), size=7.5)
        )
    return tuple(blocks)


class Place(Block):
    """An empty place with a name, so high, filled in after the sheet is drawn."""

    def __init__(self, name: str, points: float) -> None:
        self.name = name
        self.points = points

    def height(self, width: float) -> float:
        return self.points

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        pen.spot(self.name, x, top, width, self.points)


class HandLines(Block):
    """Lines to be filled in by hand, each behind its word."""

    def __init__(self, labels: tuple[str, ...]) -> None:
        self.labels = labels

    def height(self, width: float) -> float:
        return _HAND_PITCH * len(self.labels)

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        start = max(face(BODY).width(label, 7.0) for label in self.labels) + 8.0
        for number, label in enumerate(self.labels, start=1):
            y = top + number * _HAND_PITCH - 3.0
            pen.text(x, y, label, size=7.0)
            pen.line(x + start, y + 1.0, x + width, y + 1.0, width=HAIR)


class Approval(Block):
    """A box for the decision and the concessions."""

    def height(self, width: float) -> float:
        return _LINE_HEIGHT + _CONCESSIONS_HEIGHT + 2 * _PAD

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        pen.box(x, top, width, self.height(width), width=RULE)
        at = top + _PAD
        for label, name, high in (
            (said("Decision"), DECISION_FIELD, _LINE_HEIGHT),
            (said("Concessions"), CONCESSIONS_FIELD, _CONCESSIONS_HEIGHT),
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
    """Equal boxes in a row."""

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


SIGNATURES = Section("signatures", build, title="Signatures")
