"""The one place where a number becomes text, so that screen and sheet cannot disagree.

Values come in base units and are shown in the trade unit that is named. What is shown can be typed again:
`ctcore.entry.parse` reads every figure made here and finds the value within the digits shown.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal
from math import isfinite

from ctcore.entry import Entry
from ctcore.entry.units import column
from ctcore.errors import BadInput

MINUS = "\u2212"
NOTHING = "\u2013"
GROUP_GAP = "\u202f"
UNIT_GAP = "\u00a0"

# Practice: rounding to the even digit at a tie; ISO 80000-1:2009, B.3, rule A (from memory).
_WIDE = Context(prec=800, rounding=ROUND_HALF_EVEN)
# A double holds 15 decimal digits through a division; more would show the rounding of the arithmetic.
_DIVIDED = Context(prec=15, rounding=ROUND_HALF_EVEN)


def symbol(unit: str) -> str:
    """The printed symbol of a column's unit; empty for a pure number. `BadInput` for an unknown unit.

    >>> symbol("Mohm"), symbol("degC"), symbol("uA"), symbol("1")
    ('MΩ', '°C', 'µA', '')
    """
    return column(unit).unit.symbol


def text(
    value: float | None,
    unit: str,
    *,
    decimals: int | None = None,
    significant: int | None = None,
    resolution: float | None = None,
    over_range: bool = False,
    under_range: bool = False,
) -> str:
    """A value as it is shown in a trade unit, without the unit.

    shown = value / unit, rounded once, to the even digit at a tie.

    `value` is in the base unit of `unit`, any sign; None is an en dash. `decimals` are places of the figure
    shown, `significant` its digits, `resolution` the size of the last digit in the base unit; at most one is
    given, and with none every digit of the value is shown. Thousands are parted by a narrow no-break space,
    the minus sign is U+2212, zero has no sign. `over_range` puts ">" in front, `under_range` "<".
    Valid for every finite value. `BadInput` where it is not finite or two roundings are asked for.
    Source: groups and sign, ISO 80000-1:2009, 7.3 (from memory); the rest by arithmetic.

    >>> text(0.0309, "mA"), text(0.0309, "mA", decimals=2), text(2.0e7, "Mohm", over_range=True)
    ('30.9', '30.90', '>\\xa020')
    >>> text(-0.004, "percent", decimals=2), text(None, "V")
    ('0.00', '–')
    """
    if value is None:
        return NOTHING
    lead = ">" + UNIT_GAP if over_range else "<" + UNIT_GAP if under_range else ""
    number = _rounded(value, unit, decimals, significant, resolution)
    return lead + (MINUS if number < 0 else "") + _grouped(number)


def signed(
    value: float | None,
    unit: str,
    *,
    decimals: int | None = None,
    significant: int | None = None,
    resolution: float | None = None,
) -> str:
    """As `text`, with a plus sign before a figure above zero: for errors and differences.

    >>> signed(0.05, "percent", decimals=2), signed(-0.05, "percent", decimals=2), signed(0.0, "arcmin")
    ('+0.05', '−0.05', '0')
    """
    if value is None:
        return NOTHING
    number = _rounded(value, unit, decimals, significant, resolution)
    sign = MINUS if number < 0 else "+" if number > 0 else ""
    return sign + _grouped(number)


def with_unit(
    value: float | None,
    unit: str,
    *,
    decimals: int | None = None,
    significant: int | None = None,
    resolution: float | None = None,
    over_range: bool = False,
    under_range: bool = False,
) -> str:
    """As `text`, with the symbol of the unit behind a no-break space; degrees and minutes of arc stand close.

    >>> with_unit(0.0309, "mA").replace(UNIT_GAP, " "), with_unit(12.0, "arcmin"), with_unit(None, "V")
    ('30.9 mA', '12′', '–')
    """
    figure = text(
        value,
        unit,
        decimals=decimals,
        significant=significant,
        resolution=resolution,
        over_range=over_range,
        under_range=under_range,
    )
    return figure if value is None else figure + tail(unit)


def of_entry(entry: Entry, unit: str) -> str:
    """A typed reading in the unit of its column, with the digits that were typed and its range sign.

    >>> from ctcore.entry import parse
    >>> of_entry(parse("0.3500 A", "mA"), "mA"), of_entry(parse("1,20", "ohm"), "ohm")
    ('350.0', '1.20')
    """
    return text(
        entry.value,
        unit,
        resolution=entry.resolution,
        over_range=entry.over_range,
        under_range=entry.under_range,
    )


def tail(unit: str) -> str:
    """What follows a figure: the symbol with its gap.

    Source: no space before the degree and the minute of arc, ISO 80000-1:2009, 7.1.4 (from memory).

    >>> tail("arcmin"), tail("1")
    ('′', '')
    """
    sign = symbol(unit)
    return sign if sign in ("", "\u00b0", "\u2032") else UNIT_GAP + sign


def _rounded(
    value: float, unit: str, decimals: int | None, significant: int | None, resolution: float | None
) -> Decimal:
    """The value in the trade unit, rounded as asked; zero comes without a sign."""
    if not isfinite(value):
        raise BadInput("figure", value, "it is not finite")
    if sum(rule is not None for rule in (decimals, significant, resolution)) > 1:
        raise BadInput("figure", value, "two ways of rounding are asked for")
    number = _in_unit(value, unit)
    if significant is not None:
        number = _to_significant(number, significant)
    elif decimals is not None:
        number = _to_decimals(number, decimals)
    elif resolution is not None:
        number = _to_decimals(number, _decimals_of(resolution, unit))
    else:
        number = _all_digits(number)
    return number if number else number.copy_abs()


def _in_unit(value: float, unit: str) -> Decimal:
    its = column(unit).unit
    # repr is the shortest text that names the double: the digits that were typed, not those of its bits.
    number = Decimal(repr(float(value)))
    if its.factor is not None:
        return _DIVIDED.divide(number, its.factor)
    return number.scaleb(-its.power, context=_WIDE)


def _all_digits(number: Decimal) -> Decimal:
    stripped = number.normalize(context=_WIDE)
    _, _, exponent = stripped.as_tuple()
    return _to_decimals(stripped, 0) if int(exponent) > 0 else stripped


def _to_decimals(number: Decimal, decimals: int) -> Decimal:
    if decimals < 0:
        raise BadInput("figure", decimals, "decimals are counted from 0")
    return number.quantize(Decimal(1).scaleb(-decimals), context=_WIDE)


def _to_significant(number: Decimal, significant: int) -> Decimal:
    if significant < 1:
        raise BadInput("figure", significant, "significant digits are counted from 1")
    if not number:
        return _to_decimals(number, significant - 1)
    place = number.adjusted() - significant + 1
    rounded = number.quantize(Decimal(1).scaleb(place), context=_WIDE)
    if rounded.adjusted() > number.adjusted():  # 9.99 to two digits is 10, not 10.0
        place += 1
        rounded = number.quantize(Decimal(1).scaleb(place), context=_WIDE)
    return _to_decimals(rounded, 0) if place > 0 else rounded


def _decimals_of(resolution: float, unit: str) -> int:
    """Decimals that show a last digit of this size: 0.05 mA needs two."""
    if not (isfinite(resolution) and resolution > 0):
        raise BadInput("figure", resolution, "a resolution is above zero")
    # Ten digits: the resolution of a minute is divided back and must not fall short of its power of ten.
    last = Context(prec=10).plus(_in_unit(resolution, unit))
    return max(0, -last.adjusted())


def _grouped(number: Decimal) -> str:
    whole, mark, fraction = format(number.copy_abs(), "f").partition(".")
    return format(int(whole), ",").replace(",", GROUP_GAP) + mark + fraction
