"""Has a value changed between two tests, or do they differ by no more than their uncertainty explains?"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Literal

from ctcore.checks import not_negative_scalar, scalar

Answer = Literal["no change shown", "changed", "cannot tell"]


@dataclass(frozen=True, slots=True)
class Change:
    """How far the later value is from the earlier one.

    `difference` is later minus earlier in the unit of both, `percent` the same of the earlier value and None
    where that is zero, `en_ratio` the difference over its expanded uncertainty, None where that is not known.
    """

    difference: float
    percent: float | None
    en_ratio: float | None
    answer: Answer


def change(
    earlier: float, later: float, *, u_earlier: float | None = None, u_later: float | None = None
) -> Change:
    """Return the change between two values with expanded uncertainties (k = 2) in the same unit.

    Formula: E_n = (later - earlier) / sqrt(U_earlier^2 + U_later^2); changed where |E_n| > 1.
    Args: any finite values; uncertainties of zero or more, None where not known.
    Result: a `Change`; "cannot tell" where an uncertainty is not known, or both are zero and the values
    differ: two readings of one instrument share some of their uncertainty, so |E_n| is a careful figure.
    Raises BadInput for NaN, infinities and an uncertainty below zero.
    Source: ISO/IEC 17043:2010, B.3.1.3 e) (E_n numbers), from memory.

    >>> moved = change(2.40, 2.52, u_earlier=0.02, u_later=0.02)
    >>> round(moved.en_ratio, 1), moved.answer
    (4.2, 'changed')
    >>> change(2.40, 2.41, u_earlier=0.02, u_later=0.02).answer
    'no change shown'
    """
    before, now = scalar("earlier value", earlier), scalar("later value", later)
    difference = now - before
    percent = None if before == 0.0 else 100.0 * difference / abs(before)
    spread = _spread(u_earlier, u_later)
    if spread is None or spread == 0.0:
        same = spread == 0.0 and difference == 0.0
        return Change(difference, percent, None, "no change shown" if same else "cannot tell")
    en_ratio = difference / spread
    return Change(difference, percent, en_ratio, "changed" if abs(en_ratio) > 1.0 else "no change shown")


def _spread(*expanded: float | None) -> float | None:
    known = [not_negative_scalar("expanded uncertainty", one) for one in expanded if one is not None]
    return hypot(*known) if len(known) == len(expanded) else None
