"""The grammar of a typed reading: range sign, sign, digits, exponent, unit; and nothing else.

    entry    = [range] [sign] number [exponent] [unit] | [range] [sign] digits letter [digits]
    range    = ">" | "<" | ">=" | "<=" | U+2265 | U+2264
    sign     = "+" | "-" | U+2212
    number   = digits or groups of three, and at most one decimal mark
    exponent = ("e" | "E") [sign] one or two digits
    letter   = a prefix in place of the decimal mark or behind the digits, or R (IEC 60062)

The number is read twice, once with the point and once with the comma as its decimal mark. One reading is the
number, none is a refusal, two are a question: so no rule of thumb decides what a comma means.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Context, Decimal

from ctcore.entry.refusals import (
    LONGEST_COUNT,
    TwoReadings,
    shown,
    why_no_entry,
    why_no_number,
    why_no_unit,
    why_not_inside,
)
from ctcore.entry.units import Column, Unit, column
from ctcore.errors import BadInput

SPACES = " \u00a0\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f"
_STRIPPED = SPACES + "\t\r\n"
_S = f"[{SPACES}]"

_SHAPE = re.compile(
    rf"(>=?|<=?|[\u2265\u2264])?{_S}*([-+\u2212]?)"
    rf"((?:[0-9.,](?:{_S}?[0-9.,])*)?)"
    r"(?:[eE]([-+\u2212]?)([0-9]+))?"
    rf"({_S}*)([A-Za-z\u00b5\u03bc\u03a9\u2126\u00b0\u00ba\u2103%\u2030\u2032\u2019'\u00b2]*)([0-9]*)"
)
_PLAIN = re.compile(r"([0-9]+)(?:\.([0-9]*))?")
_POINT = re.compile(rf"([0-9]*|[1-9][0-9]{{0,2}}(?:(?:{_S}[0-9]{{3}})+|(?:,[0-9]{{3}})+))(?:\.([0-9]*))?")
_COMMA = re.compile(rf"([0-9]*|[1-9][0-9]{{0,2}}(?:(?:{_S}[0-9]{{3}})+|(?:\.[0-9]{{3}})+))(?:,([0-9]*))?")
_NOT_DIGIT = re.compile(r"[^0-9]")

# Practice: 17 digits name every double exactly; a longer text was not read from an instrument.
_DIGITS_COUNT = 17
_SMALLEST = 1e-15
_FARTHEST_PLACE = 30
_EXACT = Context(prec=_DIGITS_COUNT)


@dataclass(frozen=True, slots=True)
class Entry:
    """One typed reading.

    `value` is in the base unit of the column and equals `float(value_text)`. With `over_range` the true
    value is at or above it, with `under_range` at or below it. `value_text` is a decimal string in the base
    unit whose last digit is the last digit typed; it has more digits only where the unit typed is no power
    of ten of the base unit (min, h, deg, crad). `resolution` is the size of the last digit typed, in the
    base unit. `as_typed` is the text, untouched.
    """

    value: float
    over_range: bool
    under_range: bool
    as_typed: str
    value_text: str
    resolution: float


@dataclass(frozen=True, slots=True)
class _Parts:
    """A text taken apart: number = digits x 10**place, in `unit`."""

    bound: str
    negative: bool
    digits: str
    place: int
    unit: Unit


def parse(text: str, unit: str, *, decimal_comma: bool | None = None, quantity: str = "entry") -> Entry:
    """The number a person typed into a column headed `unit`, or a refusal; never a guess.

    value = number x unit typed, or number x unit of the column where none is typed.

    `text` is what was typed; `unit` the column's ("mA", "Mohm", "min" for minutes of time, "1" for a pure
    number ...); `decimal_comma` None: a point is the decimal mark, a comma is one where it can be nothing
    else; True: the comma is the decimal mark, a point parts groups; False: the reverse. `quantity` names the
    field in the exception. Returns an `Entry` in the base unit (V, A, ohm, VA, Hz, s, degC, percent, arcmin,
    deg, 1, mm2, m), with the sign typed; "at least" and "at most" (U+2265, U+2264, >=, <=) count as over and
    under range.
    Valid for texts of up to 40 characters and 17 digits, and magnitudes that occur in switchgear.
    `TwoReadings`, a `BadInput`, where the text can mean two numbers (`1,234`; `5M` in a column of amperes);
    `BadInput` where it is none, has a unit of another dimension, or is out of all proportion.
    Source: letters in place of the mark, IEC 60062:2016, clause 3 (from memory); groups of three digits
    parted by a space, ISO 80000-1:2009, 7.3.1 (from memory); the rest by arithmetic.

    >>> parse("350", "mA").value, parse("0.35 A", "mA").value, parse("4R7", "mohm").value
    (0.35, 0.35, 4.7)
    >>> parse("1.20", "ohm").value_text, parse(">2000", "Mohm").over_range
    ('1.20', True)
    >>> parse("1,234", "V")
    Traceback (most recent call last):
        ...
    ctcore.entry.refusals.TwoReadings: entry: 1,234: two readings: 1.234 or 1 234
    """
    its = column(unit)
    parts = _take_apart(text, its, decimal_comma, quantity)
    digits = parts.digits.lstrip("0")
    if len(digits) > _DIGITS_COUNT:
        raise BadInput(quantity, shown(text), f"more than {_DIGITS_COUNT} digits are typed")
    place = parts.place + parts.unit.power
    if abs(place) > _FARTHEST_PLACE:
        raise BadInput(quantity, shown(text), "its size is out of all proportion")
    resolution = float(f"1e{place}")
    factor = parts.unit.factor
    if factor is not None:
        product = _EXACT.multiply(Decimal(f"{digits or 0}e{place}"), factor)
        digits, place = _digits_and_place(product)
        resolution *= float(factor)
    value_text = ("-" if parts.negative and digits else "") + _decimal_text(digits, place)
    value = float(value_text)
    limits = its.dimension
    too_far = abs(value) > limits.largest or 0.0 < abs(value) < _SMALLEST
    if too_far or (limits.lowest is not None and value < limits.lowest):
        raise BadInput(quantity, shown(text), "its size is out of all proportion")
    return Entry(value, parts.bound == ">", parts.bound == "<", text, value_text, resolution)


def _take_apart(text: str, its: Column, decimal_comma: bool | None, quantity: str) -> _Parts:
    if not isinstance(text, str):
        raise BadInput(quantity, text, "a text is needed")
    if len(text) > LONGEST_COUNT:
        raise BadInput(quantity, shown(text), f"longer than {LONGEST_COUNT} characters")
    stripped = text.strip(_STRIPPED)
    shape = _SHAPE.fullmatch(stripped)
    if shape is None or not stripped:
        raise BadInput(quantity, shown(text), why_no_entry(stripped))
    bound, sign, number, exponent_sign, exponent, gap, letters, tail = shape.groups()
    bound = {">": ">", "\u2265": ">", "<": "<", "\u2264": "<"}[bound[0]] if bound else ""
    if tail and letters + tail in its.units:
        letters, tail = letters + tail, ""
    inner = bool(tail) or (letters == "R" and not number)
    if inner and (exponent or gap or not _may_stand_inside(number, letters, tail, its)):
        raise BadInput(quantity, shown(text), why_not_inside(stripped, letters, its))
    if inner:
        whole, fraction = number, tail
    else:
        whole, fraction = _read_number(stripped, shape.span(3), decimal_comma, quantity)
    place = -len(fraction)
    if exponent:
        if len(exponent) > 2:
            raise BadInput(quantity, shown(text), "its size is out of all proportion")
        place += int(exponent) if exponent_sign in ("", "+") else -int(exponent)
    digits = whole + fraction
    if letters in its.asks:
        _ask(text, bound + ("" if sign in ("", "+") else "-"), digits, place, its.asks[letters], quantity)
    unit = its.units.get(letters) or its.letters.get(letters) if letters else its.unit
    if unit is None:
        raise BadInput(quantity, shown(text), why_no_unit(letters, its))
    return _Parts(bound, sign not in ("", "+"), digits, place, unit)


def _may_stand_inside(number: str, letters: str, tail: str, its: Column) -> bool:
    """Whether the letters may stand in place of the decimal mark: `1k2`, `4R7`, and `R47` for 0.47."""
    if not number:
        return letters == "R" and "R" in its.letters and bool(tail)
    known = letters in its.letters or (letters in its.asks and len(letters) == 1)
    return known and number.isdigit()


def _read_number(
    stripped: str, span: tuple[int, int], decimal_comma: bool | None, quantity: str
) -> tuple[str, str]:
    """Digits before and behind the decimal mark; refuses and asks."""
    number = stripped[span[0] : span[1]]
    if not number:
        raise BadInput(quantity, shown(stripped), why_no_entry(stripped))
    if decimal_comma is not True:
        plain = _PLAIN.fullmatch(number)
        if plain is not None:
            return plain[1], plain[2] or ""
    by_point = None if decimal_comma else _POINT.fullmatch(number)
    may_be_comma = decimal_comma or (decimal_comma is None and "." not in number)
    by_comma = _COMMA.fullmatch(number) if may_be_comma else None
    if by_point and by_comma and "," in number:
        before, behind = stripped[: span[0]], stripped[span[1] :]
        readings = (
            f"{before}{number.replace(',', '.')}{behind}",
            f"{before}{number.replace(',', ' ')}{behind}",
        )
        raise TwoReadings(quantity, shown(stripped), readings)
    found = by_point or by_comma
    if found is None or not (found[1] or found[2]):
        raise BadInput(quantity, shown(stripped), why_no_number(number, decimal_comma))
    return _NOT_DIGIT.sub("", found[1]), found[2] or ""


def _ask(text: str, lead: str, digits: str, place: int, pair: tuple[Unit, Unit], quantity: str) -> None:
    """Put back a letter that can be a slip of the shift key, or milliseconds and minutes, as two readings."""
    first, second = pair
    minutes = second.name == "min"
    # The two units of the pair are those the column takes; the letter itself stood for 10**-3 or 10**6.
    at_first = place - 3 - first.power
    at_second = place if minutes else place + 6 - second.power
    low = f"{lead}{_written_out(digits.lstrip('0'), at_first)} {first.symbol}"
    high = f"{lead}{_written_out(digits.lstrip('0'), at_second)} {second.symbol}"
    names = ("milliseconds", "minutes") if minutes else ("milli", "mega")
    reason = f"two readings: {names[0]} ({low}) or {names[1]} ({high})"
    raise TwoReadings(quantity, shown(text), (low, high), reason)


def _digits_and_place(number: Decimal) -> tuple[str, int]:
    _, digits, place = number.as_tuple()
    return "".join(map(str, digits)).lstrip("0"), int(place)


def _written_out(digits: str, place: int) -> str:
    """As `_decimal_text`, with zeros for a small power of ten: a question is read by a person."""
    return digits + "0" * place if digits and 0 < place <= 6 else _decimal_text(digits, place)


def _decimal_text(digits: str, place: int) -> str:
    """digits x 10**place as a decimal string whose last digit is the last of `digits`."""
    digits = digits or "0"
    if place > 0:
        mark = "." if len(digits) > 1 else ""
        return f"{digits[0]}{mark}{digits[1:]}e{place + len(digits) - 1}"
    if place == 0:
        return digits
    padded = digits.rjust(1 - place, "0")
    return f"{padded[:place]}.{padded[place:]}"
