"""Figures with the decimal mark that is spoken: `ctcore.figures` makes them, here only their mark is set."""

from __future__ import annotations

import re
from typing import Final

from app.words.language import decimal_comma
from ctcore.figures import GROUP_GAP, MINUS, UNIT_GAP

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
