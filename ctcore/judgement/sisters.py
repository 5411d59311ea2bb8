"""A derived figure against the same figure of the sister phases."""

from __future__ import annotations

from collections.abc import Iterable
from statistics import median


def departure_percent(own: float, others: Iterable[float]) -> float | None:
    """Departure from the middle of all with two sisters or more, from the other one where there is one.

    >>> departure_percent(1.1, [1.0]).__round__(6), departure_percent(1.1, [1.0, 1.0]).__round__(6)
    (10.0, 10.0)
    """
    listed = list(others)
    if not listed:
        return None
    middle = listed[0] if len(listed) == 1 else median([own, *listed])
    return None if middle <= 0.0 else 100.0 * (own / middle - 1.0)
