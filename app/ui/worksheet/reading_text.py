"""A kept reading as it is shown: its figure with the digits typed, or the text where it is no number."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation

from app.words import figures
from ctcore.job import Core, Reading
from ctcore.quantities import Choice, Quantity
from ctcore.takes import Cell


def figure(reading: Reading, unit: str) -> str:
    """The number of a reading in the unit of its column, without the unit.

    The digits are those that were typed: the last digit of the decimal string says how fine it was read.
    """
    return figures.text(
        float(reading.value_text or "nan"),
        unit,
        resolution=_last_digit(reading.value_text or ""),
        over_range=reading.over_range,
        under_range=reading.under_range,
    )


def _last_digit(value_text: str) -> float | None:
    try:
        exponent = Decimal(value_text).as_tuple().exponent
    except InvalidOperation:
        return None
    return float(Decimal(1).scaleb(exponent)) if isinstance(exponent, int) else None


def choices_of(quantity: Quantity, core: Core) -> tuple[Choice, ...]:
    """What may be chosen in a field: the quantity's own choices, or the pairs of terminals of the core."""
    if quantity.quantity_id == "tap_id":
        return tuple(Choice(value=tap.tap_id, words=tap.terminals_text) for tap in core.taps)
    return quantity.choices


def shown(cell: Cell, quantity: Quantity, choices: tuple[Choice, ...]) -> str:
    """What a field shows when nobody types in it; empty where nothing is in force."""
    reading = cell.current
    if reading is None:
        return " | ".join(entry.as_typed_text for entry in cell.standing) if cell.disputed else ""
    if reading.value_text is None:
        return reading.as_typed_text
    if quantity.kind == "number":
        return figure(reading, quantity.unit)
    words = {choice.value: choice.words for choice in choices}
    return words.get(reading.value_text, reading.value_text)


def is_numberless(cell: Cell) -> bool:
    """Whether a text is kept that gave no value."""
    return cell.current is not None and cell.current.value_text is None
