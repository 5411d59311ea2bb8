"""One field and one column of a sheet, and what is said of them in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from app.ui.texts import text
from app.words import figures, retold
from ctcore.job import Job
from ctcore.quantities import Choice, Quantity

State = Literal["empty", "must", "kept", "no number", "doubt", "repeated", "struck"]


@dataclass(frozen=True, slots=True)
class FieldLine:
    """One field as it stands: what it shows, how it is framed, and why it gave no number."""

    quantity: Quantity
    choices: tuple[Choice, ...]
    state: State
    shown: str
    typed: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of the table: typed, of the take before, derived, of a sister, against these, or verdict.

    `reader` is the instrument that reads a typed column; empty where the job names none.
    """

    kind: Literal["row", "typed", "before", "derived", "sister", "against", "verdict"]
    heading: str
    quantity: Quantity | None = None
    sister_index: int = -1
    reader: str = ""


def instrument_words(job: Job, instrument_id: str) -> str:
    """What an instrument is called in the head of its column: its serial, else its name."""
    found = next((one for one in job.instruments if one.instrument_id == instrument_id), None)
    return (found.serial_text or found.name_text) if found is not None else ""


def headed(heading: str, unit: str) -> str:
    """A heading with the symbol of its unit."""
    symbol = figures.symbol(unit) if unit else ""
    return f"{heading}, {symbol}" if symbol else heading


def reasons_of(fields: Sequence[FieldLine], row_is_struck: bool) -> list[str]:
    """Why fields of a row gave no value; a row struck as a whole says it once."""
    if row_is_struck:
        told = dict.fromkeys(field.reason.rstrip(".") for field in fields if field.reason)
        return [text("field.struck", reason=", ".join(told))] if told else []
    return [_reason(field) for field in fields if field.reason]


def _reason(field: FieldLine) -> str:
    heading = field.quantity.heading
    if field.state == "struck":
        return text("field.heading_struck", heading=heading, reason=field.reason)
    if field.state == "doubt":
        return doubt_words(field)
    return f"{heading} {no_value_words(field)}"


def doubt_words(field: FieldLine) -> str:
    """What is said of a field in which nothing can hold for now."""
    return text("field.doubt", heading=field.quantity.heading, reason=field.reason)


def no_value_words(field: FieldLine) -> str:
    """What is said of a kept text that gave no value."""
    if field.quantity.kind != "number":
        return text("field.not_understood", typed=field.typed, reason=retold(field.reason))
    if field.reason in ("", "it is no number"):
        return text("field.no_number", typed=field.typed)
    return text("field.no_number_why", typed=field.typed, reason=retold(field.reason))
