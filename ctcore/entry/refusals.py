"""Why a text is no entry: short reasons for the person who typed it."""

from __future__ import annotations

import re
import unicodedata
from typing import Any

from ctcore.entry.units import Column, dimension_of
from ctcore.errors import BadInput

LONGEST_COUNT = 40


class TwoReadings(BadInput):
    """The text can mean two numbers; `readings` holds both as texts that the same column takes at once.

    >>> TwoReadings("entry", "1,234", ("1.234", "1 234")).reason
    'two readings: 1.234 or 1 234'
    """

    def __init__(self, quantity: str, value: object, readings: tuple[str, str], reason: str = "") -> None:
        super().__init__(quantity, value, reason or f"two readings: {readings[0]} or {readings[1]}")
        self.readings = readings

    def __reduce_ex__(self, _protocol: Any) -> tuple[Any, ...]:
        return (type(self), (self.quantity, self.value, self.readings, self.reason))


def shown(text: str) -> str:
    """The text as a message may carry it: cut to a field's length, hidden characters spelled out.

    >>> shown("1" + chr(0x200B) + "2")
    '1[U+200B]2'
    """
    cut = text if len(text) <= LONGEST_COUNT else text[:LONGEST_COUNT] + "\u2026"
    return "".join(f"[U+{ord(c):04X}]" if _is_hidden(c) else c for c in cut)


def _is_hidden(character: str) -> bool:
    return unicodedata.category(character) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def why_no_entry(text: str) -> str:
    """The reason why the shape of a stripped text is no number with a unit; the first that applies."""
    if not text:
        return "nothing is typed"
    if any(_is_hidden(c) for c in text):
        return "it holds a character that cannot be seen; type it again"
    if any(c.isnumeric() and c not in "0123456789\u00b2" for c in text):
        return "only the digits 0 to 9 are read"
    word = text.lstrip("+-\u2212").casefold()
    if word in ("inf", "infinity", "\u221e", "ol", "o.l", "o.l.", "overload"):
        return "it is no number; for over range type > and the end of the range"
    if word == "nan" or not any(c in "0123456789" for c in text):
        return "no digits are typed"
    if any(c in "\u2010\u2011\u2012\u2013\u2014\u2015\u00ad" for c in text):
        return "a dash is no minus sign; type the minus sign"
    if re.match(r"[<>=\u2264\u2265\s]*[-+\u2212][\s]*[-+\u2212]", text):
        return "two signs are typed"
    if re.search(r"^[-+\u2212]\s", text):
        return "the sign stands apart from the digits"
    if re.search(r"[0-9]\s+[0-9]", text):
        return "two numbers are typed, or a gap that is no group of three digits"
    return "it is no number"


def why_no_number(number: str, decimal_comma: bool | None) -> str:
    """The reason why a run of digits, marks and gaps is no number."""
    points, commas = number.count("."), number.count(",")
    if not points + commas < len(number):
        return "no digits are typed"
    if decimal_comma and points:
        return "the comma is the decimal mark here; a point stands only between groups of three digits"
    if decimal_comma is False and commas:
        return "the point is the decimal mark here; a comma stands only between groups of three digits"
    if points > 1:
        return "more than one decimal point is typed"
    if points and commas:
        return "the point is the decimal mark, so no comma can follow it or stand outside groups of three"
    if commas > 1:
        return "more than one decimal comma is typed, or groups that have not three digits each"
    return "a gap stands only between groups of three digits, the first not beginning with 0"


def why_not_inside(text: str, letters: str, column: Column) -> str:
    """The reason why letters between digits do not stand in place of the decimal mark."""
    if letters in column.letters and any(c in "0123456789" for c in text):
        return f"{letters} takes the place of the decimal mark only between plain digits, as in 1{letters}2"
    return why_no_entry(text)


def why_no_unit(typed: str, column: Column) -> str:
    """The reason why the letters behind the digits are no unit of this column."""
    dimension = dimension_of(typed)
    wanted = f"{column.dimension.name} in {column.dimension.symbol}" if column.dimension.symbol else "no unit"
    if dimension is None or dimension == column.dimension.name:
        return f"{typed} is no unit known here; wanted is {wanted}"
    return f"{typed} is a unit of {dimension}; wanted is {wanted}"
