"""What is known of a quantity: its name, units, words and help."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["number", "choice", "text"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One allowed answer: the word kept in the record and the word shown."""

    value: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """What an entry field, a column and a line of the sheet know about a quantity.

    `unit` is the trade unit of column and field; values are kept in the base unit of the same dimension.
    `least` and `greatest` are what is physically possible, in the base unit, not limits of judgement.
    `formula_text` is how it is computed, or what it goes into, and `source_text` where that is from.
    """

    quantity_id: str
    name: str
    heading: str
    unit: str = ""
    kind: Kind = "number"
    choices: tuple[Choice, ...] = ()
    decimals: int | None = None
    signed: bool = False
    least: float | None = None
    greatest: float | None = None
    help_text: str = ""
    formula_text: str = ""
    source_text: str = ""


def choices(*pairs: tuple[str, str]) -> tuple[Choice, ...]:
    """Choices from pairs of the word kept and the words shown."""
    return tuple(Choice(value=value, words=words) for value, words in pairs)
