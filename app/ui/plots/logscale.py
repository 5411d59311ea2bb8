"""The one place where volts and amperes become positions on equal decades, with 1-2-5 ticks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_MANTISSAS = (1.0, 2.0, 5.0)
_ALL_MANTISSAS = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0)
# Steps for a range of less than a decade, as shares of the largest power of ten below.
_NARROW_STEPS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0)


def position(value: float) -> float:
    """The position of a value above zero: its decimal logarithm.

    >>> position(100.0)
    2.0
    """
    return math.log10(value)


def value(at: float) -> float:
    """The value at a position.

    >>> value(2.0)
    100.0
    """
    return float(10.0**at)


def positions(values: Sequence[float] | Floats) -> Floats:
    """The positions of values above zero."""
    return np.log10(np.asarray(values, dtype=float))


def drawable(voltage_v: Sequence[float], current_a: Sequence[float]) -> tuple[Floats, Floats, int]:
    """Those pairs that logarithmic paper can show, and how many it cannot: zero, negative, not finite.

    >>> drawable([10.0, 0.0], [0.1, 0.2])[2]
    1
    """
    v, i = np.asarray(voltage_v, dtype=float), np.asarray(current_a, dtype=float)
    good = np.isfinite(v) & np.isfinite(i) & (v > 0) & (i > 0)
    return v[good], i[good], int(v.size - np.count_nonzero(good))


@dataclass(frozen=True, slots=True)
class Span:
    """A range of positions, low to high."""

    low: float
    high: float

    @property
    def decades(self) -> float:
        """How many decades it holds."""
        return self.high - self.low


def ticks(span: Span, *, room: int) -> tuple[list[float], list[float]]:
    """Values that carry a figure, and values that carry a fine line only, for about `room` figures at most.

    >>> ticks(Span(0.0, 1.0), room=8)[0]
    [1.0, 2.0, 5.0, 10.0]
    """
    if span.decades < 0.7:
        return _narrow_ticks(span, room)
    fine = _in_span(span, _ALL_MANTISSAS)
    strong = _in_span(span, _MANTISSAS)
    if len(strong) > room:
        strong = _in_span(span, (1.0,))
        fine = _in_span(span, _MANTISSAS)
    return strong, [entry for entry in fine if entry not in strong]


def even_ticks(span: Span, *, room: int) -> tuple[list[float], list[float]]:
    """Values that carry a figure, and those that carry a fine line only, on an axis of equal steps.

    >>> even_ticks(Span(-1.0, 1.0), room=5)[0]
    [-1.0, -0.5, 0.0, 0.5, 1.0]
    """
    power = 10.0 ** math.floor(math.log10(span.decades))
    steps = [power * step for step in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0)]
    step = next((s for s in steps if span.decades / s <= max(2, room) + 1e-6), steps[-1])
    strong, fine = ([k * s for k in _counts(span, s)] for s in (step, step / 5.0))
    return [round(entry, 12) for entry in strong], [round(entry, 12) for entry in fine]


def _counts(span: Span, step: float) -> range:
    return range(math.ceil(span.low / step - 1e-9), math.floor(span.high / step + 1e-9) + 1)


def _in_span(span: Span, mantissas: tuple[float, ...]) -> list[float]:
    first, last = math.floor(span.low - 1e-9), math.floor(span.high + 1e-9)
    made = [m * 10.0**p for p in range(first, last + 1) for m in mantissas]
    return [entry for entry in made if span.low - 1e-9 <= math.log10(entry) <= span.high + 1e-9]


def _narrow_ticks(span: Span, room: int) -> tuple[list[float], list[float]]:
    low, high = value(span.low), value(span.high)
    power = 10.0 ** math.floor(math.log10(high - low))
    steps = [power * step for step in (*_NARROW_STEPS, 5.0, 10.0)]
    step = next((s for s in steps if (high - low) / s <= max(2, room) + 1e-6), steps[-1])
    return _multiples(low, high, step), _multiples(low, high, step / 5.0)


def _multiples(low: float, high: float, step: float) -> list[float]:
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return [round(k * step, 12) for k in range(first, last + 1) if k > 0]


def square_decades(
    x: Span,
    y: Span,
    width_px: float,
    height_px: float,
    *,
    reserved_right_px: float = 0.0,
) -> tuple[Span, Span]:
    """The ranges that show both spans with decades of equal size: data low and left, spare up and right.

    `reserved_right_px` is kept free of data at the right edge.
    """
    room = max(width_px - reserved_right_px, 0.45 * width_px)
    px_per_decade = min(room / max(x.decades, 0.2), height_px / max(y.decades, 0.2))
    return (
        Span(x.low, x.low + width_px / px_per_decade),
        Span(y.low, y.low + height_px / px_per_decade),
    )


def equal_steps(x: Span, y: Span, width_px: float, height_px: float) -> tuple[Span, Span]:
    """The ranges that show both spans with steps of equal size; what is spare lies on both sides, or above
    zero where a range begins there.

    >>> equal_steps(Span(0.0, 1.0), Span(-1.0, 1.0), 200.0, 200.0)
    (Span(low=0.0, high=2.0), Span(low=-1.0, high=1.0))
    """
    px_per_step = min(width_px / x.decades, height_px / y.decades)
    return _widened(x, width_px / px_per_step), _widened(y, height_px / px_per_step)


def _widened(span: Span, length: float) -> Span:
    spare = 0.0 if span.low == 0.0 else (length - span.decades) / 2.0
    return Span(span.low - spare, span.low - spare + length)


def around(x: float, y: float, px_per_decade: float, width_px: float, height_px: float) -> tuple[Span, Span]:
    """The ranges of a detail whose middle is at positions x and y."""
    half_x, half_y = width_px / px_per_decade / 2, height_px / px_per_decade / 2
    return Span(x - half_x, x + half_x), Span(y - half_y, y + half_y)
