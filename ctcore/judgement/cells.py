"""What stands in one field: a number, a choice, or the reason why there is none."""

from __future__ import annotations

from dataclasses import dataclass

from ctcore import figures
from ctcore.entry import base_unit
from ctcore.findings import Verdict
from ctcore.job import Reading
from ctcore.quantities import quantity
from ctcore.takes import Cell, Row


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why a value cannot be judged, as a verdict and one sentence."""

    verdict: Verdict
    text: str


@dataclass(frozen=True, slots=True)
class Number:
    """A number with the reading it came from."""

    value: float
    reading: Reading

    @property
    def over_range(self) -> bool:
        """Whether the true value is at or above the number."""
        return self.reading.over_range


def number(row: Row, quantity_id: str, *, range_signs: bool = False) -> Number | Trouble:
    """The number of a cell, or what stands in its way.

    A reading with a range sign is a number only where `range_signs` allows it.
    """
    cell = row.cell(quantity_id)
    trouble = _trouble(cell, quantity_id)
    if trouble is not None:
        return trouble
    reading, value = cell.current, cell.number
    name = quantity(quantity_id).name
    if reading is None or value is None:
        shown = reading.as_typed_text if reading is not None else ""
        return Trouble("not tested", f"“{shown}” is kept as {name}, but it is no number.")
    if (reading.over_range or reading.under_range) and not range_signs:
        return Trouble(
            "refer", f"{_capital(name)} “{reading.as_typed_text}” is a bound, no value to calculate with."
        )
    if not _possible(value, quantity_id):
        return Trouble(
            "not tested", f"{_capital(name)} “{reading.as_typed_text}” is beyond what is possible."
        )
    return Number(value, reading)


def _possible(value: float, quantity_id: str) -> bool:
    """Whether a size can occur at all; zero is told by name elsewhere."""
    row = quantity(quantity_id)
    if row.greatest is not None and abs(value) > row.greatest:
        return False
    if row.least is None or value == 0.0:
        return True
    return value >= row.least


def value_of(row: Row, quantity_id: str) -> float | None:
    """The number of a cell that can be calculated with, or None whatever the reason."""
    found = number(row, quantity_id)
    return found.value if isinstance(found, Number) else None


def choice(row: Row, quantity_id: str) -> str | Trouble:
    """The word or text kept in a cell, or what stands in its way."""
    cell = row.cell(quantity_id)
    trouble = _trouble(cell, quantity_id)
    if trouble is not None:
        return trouble
    kept = cell.value_text
    if not kept:
        shown = cell.current.as_typed_text if cell.current else ""
        return Trouble(
            "not tested", f"“{shown}” is kept as {quantity(quantity_id).name}, but it is no answer there."
        )
    asked = quantity(quantity_id)
    if asked.kind == "choice" and kept not in {entry.value for entry in asked.choices}:
        # A word from elsewhere, such as another program's file: it would pass for whatever is not asked for.
        return Trouble("refer", f"“{kept}” is none of the answers for {asked.name}.")
    return kept


def _trouble(cell: Cell, quantity_id: str) -> Trouble | None:
    if cell.current is not None:
        return None
    name = _capital(quantity(quantity_id).name)
    if cell.empty:
        return Trouble("not tested", f"{name} is not recorded.")
    if cell.disputed:
        both = " and ".join(_shown(reading, quantity_id) for reading in cell.standing)
        return Trouble("refer", f"{name} stands twice, as {both}. Which one holds?")
    reason = cell.standing[0].reason_text.rstrip(".") or "no reason given"
    return Trouble("not tested", f"{name} was struck out: {reason}.")


def _shown(reading: Reading, quantity_id: str) -> str:
    unit = quantity(quantity_id).unit
    if reading.struck or reading.withdrawn:
        return "struck out"
    try:
        return figures.with_unit(float(reading.value_text or ""), unit)
    except ValueError:
        return f"“{reading.as_typed_text}”"


def unit_of(quantity_id: str) -> str:
    """The base unit of a quantity; empty for words.

    >>> unit_of("i_excitation_a"), unit_of("polarity")
    ('A', '')
    """
    unit = quantity(quantity_id).unit
    return base_unit(unit) if unit else ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
