"""Scales of a log-log plot with square decades, and the ticks on them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Window:
    """A log-log window, decades of one length both ways; (x, y) is its upper left corner on the page."""

    x: float
    y: float
    width: float
    height: float
    log_left: float
    log_low: float
    decade: float

    def at(self, current: float, voltage: float) -> Point:
        """The place on the page of a current across and a voltage up."""
        return (
            self.x + (math.log10(current) - self.log_left) * self.decade,
            self.y + self.height - (math.log10(voltage) - self.log_low) * self.decade,
        )

    @property
    def log_right(self) -> float:
        """Logarithm of the current at the right edge."""
        return self.log_left + self.width / self.decade

    @property
    def log_high(self) -> float:
        """Logarithm of the voltage at the upper edge."""
        return self.log_low + self.height / self.decade


def fitted(
    points: Sequence[Point], *, x: float, y: float, width: float, height: float, squeeze: float = 1.0
) -> Window:
    """A window that holds the points with a little air; the room that is left lies to the lower right."""
    logs_i = [math.log10(current) for current, _ in points]
    logs_v = [math.log10(voltage) for _, voltage in points]
    air = 0.12
    spread_i = max(logs_i) - min(logs_i) + 2 * air
    spread_v = max(logs_v) - min(logs_v) + 2 * air
    decade = min(width / spread_i, height / spread_v) * squeeze
    return Window(
        x, y, width, height,
        log_left=min(logs_i) - air,
        log_low=max(logs_v) + air - height / decade,
        decade=decade,
    )  # fmt: skip


def ticks_125(log_low: float, log_high: float) -> list[float]:
    """Values 1, 2, 5 times powers of ten between two logarithms.

    >>> ticks_125(0.0, 1.0)
    [1.0, 2.0, 5.0, 10.0]
    """
    found = []
    for power in range(math.floor(log_low), math.ceil(log_high) + 1):
        for lead in (1, 2, 5):
            value = float(f"{lead}e{power}")
            if log_low - 1e-9 <= math.log10(value) <= log_high + 1e-9:
                found.append(value)
    return found


def lines_fine(log_low: float, log_high: float) -> list[float]:
    """Every 1 to 9 times a power of ten between two logarithms, for the grid."""
    found = []
    for power in range(math.floor(log_low), math.ceil(log_high) + 1):
        for lead in range(1, 10):
            value = float(f"{lead}e{power}")
            if log_low <= math.log10(value) <= log_high:
                found.append(value)
    return found


def ticks_even(log_low: float, log_high: float, *, at_most: int) -> list[float]:
    """Evenly spaced round values for a window of a fraction of a decade."""
    return ticks_linear(10.0**log_low, 10.0**log_high, at_most=at_most)


def ticks_linear(low: float, high: float, *, at_most: int) -> list[float]:
    """Evenly spaced round values from low to high.

    >>> ticks_linear(-0.31, 0.62, at_most=5)
    [-0.2, 0.0, 0.2, 0.4, 0.6]
    """
    span = high - low
    power = math.floor(math.log10(span / at_most))
    for lead in (1.0, 2.0, 2.5, 5.0, 10.0, 20.0):
        step = lead * 10.0**power
        if span / step <= at_most:
            break
    first = math.ceil(low / step)
    last = math.floor(high / step)
    # The step as a decimal fraction keeps 0.3 from becoming 0.30000000000000004.
    return [float(f"{count * step:.12g}") for count in range(first, last + 1)]
