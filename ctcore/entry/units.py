"""The units an entry may be typed in, one row per dimension, and the table each column looks them up in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from ctcore.errors import BadInput

# Arithmetic: 0.01 rad in minutes of arc, 0.01 x 180 x 60 / pi, with pi to 28 digits.
CRAD_ARCMIN = Decimal("108") / Decimal("3.141592653589793238462643383")

PREFIX_POWERS = {"n": -9, "u": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9, "T": 12}
PREFIX_SPELLINGS: dict[str, tuple[str, ...]] = {
    # The micro sign stands twice in Unicode: U+00B5 on keyboards, U+03BC in Greek text.
    "u": ("u", "\u00b5", "\u03bc"),
    # Capital K is the letter for kilo in IEC 60062:2016 (from memory); no unit here begins with it.
    "k": ("k", "K"),
}


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: its plain name, its printed symbol, and what one of it is in the base unit of its column."""

    name: str
    symbol: str
    power: int = 0
    factor: Decimal | None = None  # None where a power of ten says all


@dataclass(frozen=True, slots=True)
class Dimension:
    """One row: everything that can be typed in a column of this kind."""

    name: str
    base: str
    symbol: str
    spellings: tuple[str, ...]
    largest: float  # Practice: far beyond anything met in switchgear; common practice, no source.
    lowest: float | None = None
    prefixes: str = ""
    bare_prefix: bool = False  # "350m", "1k2": the prefix alone
    milli_or_mega: bool = False  # a mega of it does not occur, so M is a slip for m, or is it
    others: tuple[tuple[str, str, tuple[str, ...], Decimal], ...] = ()


_MINUTE_SIGNS = ("arcmin", "\u2032", "'", "\u2019")
_DEGREE_SIGNS = ("deg", "\u00b0", "\u00ba")

DIMENSIONS: tuple[Dimension, ...] = (
    Dimension("voltage", "V", "V", ("V", "v"), 1e9, prefixes="umk", bare_prefix=True, milli_or_mega=True),
    Dimension("current", "A", "A", ("A", "a"), 1e9, prefixes="numk", bare_prefix=True, milli_or_mega=True),
    Dimension(
        "resistance", "ohm", "\u03a9",
        ("\u03a9", "\u2126", "ohm", "Ohm", "OHM", "ohms", "Ohms"), 1e16,
        prefixes="umkMGT", bare_prefix=True,
    ),
    Dimension("burden", "VA", "VA", ("VA", "va"), 1e9, prefixes="mk", bare_prefix=True, milli_or_mega=True),
    Dimension("frequency", "Hz", "Hz", ("Hz", "hz", "HZ"), 1e6, prefixes="k", bare_prefix=True),
    Dimension(
        "time", "s", "s", ("s", "sec"), 1e8, prefixes="um",
        others=(("min", "min", ("min",), Decimal(60)), ("h", "h", ("h",), Decimal(3600))),
    ),
    Dimension(
        "temperature", "degC", "\u00b0C", ("degC", "\u00b0C", "\u00baC", "\u2103", "C"), 1e4, lowest=-273.15
    ),
    Dimension(
        "percentage", "percent", "%", ("percent", "%"), 1e6,
        others=(
            ("permille", "\u2030", ("permille", "\u2030"), Decimal("0.1")),
            ("ppm", "ppm", ("ppm",), Decimal("0.0001")),
        ),
    ),
    Dimension(
        # Tables of accuracy classes head the column "min": in a column of angles it is the minute of arc.
        "angle", "arcmin", "\u2032", (*_MINUTE_SIGNS, "min"), 1e6,
        others=(
            ("crad", "crad", ("crad",), CRAD_ARCMIN),
            ("mrad", "mrad", ("mrad",), CRAD_ARCMIN / 10),
            ("deg", "\u00b0", _DEGREE_SIGNS, Decimal(60)),
        ),
    ),
    Dimension(
        "angle", "deg", "\u00b0", _DEGREE_SIGNS, 1e5,
        others=(
            ("arcmin", "\u2032", (*_MINUTE_SIGNS, "min"), 1 / Decimal(60)),
            ("crad", "crad", ("crad",), CRAD_ARCMIN / 60),
            ("mrad", "mrad", ("mrad",), CRAD_ARCMIN / 600),
        ),
    ),
    Dimension("inductance", "H", "H", ("H",), 1e9, prefixes="um"),
    Dimension("pure number", "1", "", (), 1e9),
    Dimension("cross-section", "mm2", "mm\u00b2", ("mm2", "mm\u00b2"), 1e6),
    Dimension("length", "m", "m", ("m",), 1e6, prefixes="mk"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Column:
    """What one column understands: every spelling of every unit, the letters of `1k2`, and what it asks."""

    dimension: Dimension
    unit: Unit
    units: Mapping[str, Unit]
    letters: Mapping[str, Unit] = field(default_factory=dict)
    asks: Mapping[str, tuple[Unit, Unit]] = field(default_factory=dict)


def _prefixed(dimension: Dimension, prefix: str) -> Unit:
    sign = "\u00b5" if prefix == "u" else prefix
    return Unit(prefix + dimension.base, sign + dimension.symbol, PREFIX_POWERS[prefix])


def _own_units(dimension: Dimension) -> dict[str, Unit]:
    """Every spelling of the base unit, of its prefixed forms and of the other units of the row."""
    found: dict[str, Unit] = {}
    for prefix in ("", *dimension.prefixes):
        unit = _prefixed(dimension, prefix)
        for sign in PREFIX_SPELLINGS.get(prefix, (prefix,)):
            found.update({sign + spelling: unit for spelling in dimension.spellings})
    for name, symbol, spellings, factor in dimension.others:
        digits, exponent = factor.normalize().as_tuple()[1:]
        decimal = digits == (1,) and isinstance(exponent, int)
        unit = Unit(name, symbol, int(exponent)) if decimal else Unit(name, symbol, 0, factor)
        found.update(dict.fromkeys(spellings, unit))
    return found


def _letters(dimension: Dimension) -> dict[str, Unit]:
    """The letters that may stand alone behind the digits or in place of the decimal mark."""
    letters: dict[str, Unit] = {}
    if dimension.bare_prefix:
        for prefix in dimension.prefixes:
            unit = _prefixed(dimension, prefix)
            letters.update(dict.fromkeys(PREFIX_SPELLINGS.get(prefix, (prefix,)), unit))
    if dimension.base == "ohm":
        letters["R"] = _prefixed(dimension, "")
    return letters


def _asks(dimension: Dimension, unit: Unit) -> dict[str, tuple[Unit, Unit]]:
    """What this column puts back as a question, each with its two readings.

    The readings are in units that this same column takes without a question.
    """
    base, milli, kilo = (_prefixed(dimension, prefix) for prefix in ("", "m", "k"))
    letter, readings = "", (milli, kilo)
    if dimension.base == "s":
        # "5m" of a time is as often minutes as it is milliseconds.
        return {"m": (milli, Unit("min", "min", 0, Decimal(60)))}
    if dimension.milli_or_mega or (dimension.base == "ohm" and unit.power < 0):
        letter, readings = "M", (milli, kilo)
    elif dimension.base == "ohm" and unit.power > 0:
        letter, readings = "m", (base, _prefixed(dimension, "M"))
    return {letter + ending: readings for ending in ("", *dimension.spellings)} if letter else {}


def _columns() -> dict[str, Column]:
    columns: dict[str, Column] = {}
    for dimension in DIMENSIONS:
        units = _own_units(dimension)
        letters = _letters(dimension)
        own = {unit.name: unit for unit in units.values()} or {"1": Unit("1", "")}
        for name, unit in own.items():
            # The second row of angles holds only the column whose base is the degree.
            if name not in columns or name == dimension.base:
                columns[name] = Column(dimension, unit, units, letters, _asks(dimension, unit))
    return columns


COLUMNS: Mapping[str, Column] = _columns()
# Every spelling that may be typed may also head a column; where two dimensions share one, the first has it.
_SPELLED: Mapping[str, Column] = {
    spelling: COLUMNS[unit.name]
    for its in reversed(tuple(COLUMNS.values()))
    for spelling, unit in its.units.items()
}


def column(unit: str) -> Column:
    """The table of the column that is headed `unit`; `BadInput` where there is none.

    >>> column("mA").dimension.base
    'A'
    >>> column("MOhm") is column("Mohm")
    True
    """
    found = COLUMNS.get(unit) or _SPELLED.get(unit)
    if found is None:
        raise BadInput("unit", unit, "no column has this unit; known are " + ", ".join(COLUMNS))
    return found


def base_unit(unit: str) -> str:
    """The unit in which an entry of a column headed `unit` is returned.

    >>> base_unit("Mohm"), base_unit("min"), base_unit("crad")
    ('ohm', 's', 'arcmin')
    """
    return column(unit).dimension.base


def dimension_of(spelling: str) -> str | None:
    """The name of the first dimension that has this spelling, or None.

    >>> dimension_of("kV"), dimension_of("furlong")
    ('voltage', None)
    """
    for found in COLUMNS.values():
        if spelling in found.units:
            return found.dimension.name
    return None
