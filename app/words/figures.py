"""Figures with the decimal mark that is spoken: `ctcore.figures` makes them, here only their mark is set.

What is shown goes through here; what is kept, compared or typed again goes through `ctcore.figures`.
"""

from __future__ import annotations

import re
from typing import Final

from app.words.language import decimal_comma
from ctcore import digits
from ctcore import figures as plain
from ctcore.entry import Entry
from ctcore.figures import GROUP_GAP, MINUS, NOTHING, UNIT_GAP, symbol, tail
from ctcore.quantities import Quantity

# A figure as the core makes it: range sign, sign, groups, decimals, and its unit behind a gap or close to it.
FIGURE: Final = (
    rf"(?:[><]{UNIT_GAP}?)?[+±{MINUS}-]?\d[\d{GROUP_GAP}]*(?:\.\d+)?(?:e[+-]?\d+)?"
    rf"(?:[{UNIT_GAP} ](?:[^\W\d_]|[%Ω°µ·/²])+|[%′°])?"
)
_POINT: Final = re.compile(r"(?<=\d)\.(?=\d)")
# A clause of a standard and the name of a class have points too; they have no unit behind them.
_WITH_UNIT: Final = re.compile(rf"(?<![\w.,:])(\d[\d{GROUP_GAP}]*)\.(\d+)(?=[{UNIT_GAP}%′°]| (?:%|VA))")


def marked(figure: str) -> str:
    """A figure with the decimal mark that is spoken.

    >>> marked("12.5")
    '12.5'
    """
    return _POINT.sub(",", figure) if decimal_comma() else figure


def marked_with_units(words: str) -> str:
    """Words in which every figure that has its unit behind it gets the decimal mark that is spoken."""
    return _WITH_UNIT.sub(r"\1,\2", words) if decimal_comma() else words


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
    """As `ctcore.figures.text`."""
    figure = plain.text(
        value, unit, decimals=decimals, significant=significant, resolution=resolution,
        over_range=over_range, under_range=under_range,
    )  # fmt: skip
    return marked(figure)


def trimmed(value: float, unit: str, *, significant: int) -> str:
    """A figure of so many digits at most, without zeros at its end.

    >>> trimmed(0.250, "V", significant=3), trimmed(100.0, "V", significant=3)
    ('0.25', '100')
    """
    figure = plain.text(value, unit, significant=significant)
    return marked(figure.rstrip("0").rstrip(".") if "." in figure else figure)


def signed(
    value: float | None,
    unit: str,
    *,
    decimals: int | None = None,
    significant: int | None = None,
    resolution: float | None = None,
) -> str:
    """As `ctcore.figures.signed`."""
    return marked(
        plain.signed(value, unit, decimals=decimals, significant=significant, resolution=resolution)
    )


def with_unit(
    value: float | None, unit: str, *, decimals: int | None = None, significant: int | None = None
) -> str:
    """As `ctcore.figures.with_unit`."""
    return marked(plain.with_unit(value, unit, decimals=decimals, significant=significant))


def of_entry(entry: Entry, unit: str) -> str:
    """As `ctcore.figures.of_entry`."""
    return marked(plain.of_entry(entry, unit))


def of_quantity(value: float | None, row: Quantity) -> str:
    """As `ctcore.digits.text`: a value of a quantity without its unit."""
    return marked(digits.text(value, row))


def shown(quantity_id: str, value: float) -> str:
    """A value in the trade unit of its quantity, with its unit, as findings tell it."""
    from ctcore.judgement import limit

    return marked(limit.shown(quantity_id, value))


__all__ = [
    "FIGURE", "GROUP_GAP", "MINUS", "NOTHING", "UNIT_GAP", "marked", "marked_with_units", "of_entry",
    "of_quantity", "shown", "signed", "symbol", "tail", "text", "trimmed", "with_unit",
]  # fmt: skip
