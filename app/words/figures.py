"""Figures with the decimal mark that is spoken: `ctcore.figures` makes them, here only their mark is set.

What is shown goes through here; what is kept, compared or typed again goes through `ctcore.figures`.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable
from typing import Final, ParamSpec

from app.words.language import decimal_comma
from ctcore import digits
from ctcore import figures as plain
from ctcore.figures import GROUP_GAP, MINUS, NOTHING, UNIT_GAP, symbol, tail

_Asked = ParamSpec("_Asked")
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


def _spoken(make: Callable[_Asked, str]) -> Callable[_Asked, str]:
    """The same function of the core, its figure with the decimal mark that is spoken."""

    @functools.wraps(make)
    def told(*args: _Asked.args, **named: _Asked.kwargs) -> str:
        return marked(make(*args, **named))

    return told


text = _spoken(plain.text)
signed = _spoken(plain.signed)
with_unit = _spoken(plain.with_unit)
of_entry = _spoken(plain.of_entry)
of_quantity = _spoken(digits.text)


def trimmed(value: float, unit: str, *, significant: int) -> str:
    """A figure of so many digits at most, without zeros at its end.

    >>> trimmed(0.250, "V", significant=3), trimmed(100.0, "V", significant=3)
    ('0.25', '100')
    """
    figure = plain.text(value, unit, significant=significant)
    return marked(figure.rstrip("0").rstrip(".") if "." in figure else figure)


def shown(quantity_id: str, value: float) -> str:
    """A value in the trade unit of its quantity, with its unit, as findings tell it."""
    from ctcore.judgement import limit

    return marked(limit.shown(quantity_id, value))


__all__ = [
    "FIGURE", "GROUP_GAP", "MINUS", "NOTHING", "UNIT_GAP", "marked", "marked_with_units", "of_entry",
    "of_quantity", "shown", "signed", "symbol", "tail", "text", "trimmed", "with_unit",
]  # fmt: skip
