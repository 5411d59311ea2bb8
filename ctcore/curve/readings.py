"""Readings of one take: accepted, averaged where they cannot be told apart, refused where they fell."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ctcore.checks import GREATEST, LEAST
from ctcore.errors import BadInput

Floats = NDArray[np.float64]

FEWEST_READINGS_COUNT = 3
# Practice: a difference of two readings scatters by sqrt2 u; three times that is beyond chance.
FALL_FACTOR = 3.0 * sqrt(2.0)
# Voltages apart by their last binary digits alone have one logarithm, and no slope between them.
_SAME_VOLTAGE = 1.0 + 1e-12


@dataclass(frozen=True, slots=True)
class Readings:
    """Readings in rising order of voltage; `count` is how many taken readings stand in each.

    >>> accept([10.0, 20.0, 30.0], [0.1, 0.2, 0.5]).count
    (1, 1, 1)
    """

    voltage_v: tuple[float, ...]
    current_a: tuple[float, ...]
    count: tuple[int, ...]


def checked(values: ArrayLike, quantity: str) -> Floats:
    """Return the values as a one-dimensional array of finite numbers above zero.

    Errors: `BadInput` naming the quantity and the first value that is refused.

    >>> checked([1, 2], "voltage").tolist()
    [1.0, 2.0]
    """
    try:
        raw = np.asarray(values)
    except ValueError:
        raise BadInput(quantity, values, "readings stand in one row") from None
    if raw.dtype.kind not in "iuf" and raw.size:
        raise BadInput(quantity, values, "readings are real numbers")
    if raw.ndim != 1:
        raise BadInput(quantity, values, "readings stand in one row")
    array = raw.astype(np.float64)
    # A comparison with NaN is false, so NaN and infinity are refused too.
    wrong = np.flatnonzero(~((array >= LEAST) & (array <= GREATEST)))
    if wrong.size:
        reason = f"reading {wrong[0] + 1} is not a number above zero that could be measured"
        raise BadInput(quantity, float(array[wrong[0]]), reason)
    return array


def checked_uncertainty_rel(value: float | None, quantity: str) -> float | None:
    """Return a relative standard uncertainty, or None where it is not stated.

    Errors: `BadInput` where it is negative, not finite, or above one half.

    >>> checked_uncertainty_rel(0.002, "u_voltage_rel")
    0.002
    """
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, (int, float, np.floating, np.integer)):
        raise BadInput(quantity, value, "a relative uncertainty is a number")
    if not isfinite(value) or not 0.0 <= value <= 0.5:
        raise BadInput(quantity, value, "a relative standard uncertainty lies between 0 and 0.5")
    return float(value)


def mark_reversed(voltage_v: ArrayLike, u_voltage_rel: float | None) -> tuple[bool, ...]:
    """Tell which readings of a take fell beyond what the scatter of the voltmeter explains.

    Formula: a reading is reversed when V < V_before (1 - 3 sqrt2 u); V_before is the reading kept before
    it, or the mean of those that cannot be told apart. Without a stated u, any fall or repeat is reversed.

    Args: voltage_v in V, in the order taken; u_voltage_rel relative standard uncertainty from reading to
    reading, or None. Returns: one bool for each reading. Valid for any number of readings, none included.
    Errors: `BadInput` for values that are no voltages.
    Source: arithmetic; the factor 3 is common practice, no source.

    >>> mark_reversed([10.0, 20.0, 15.0, 30.0], 0.002)
    (False, False, True, False)
    """
    voltage = checked(voltage_v, "voltage")
    u_rel = checked_uncertainty_rel(u_voltage_rel, "u_voltage_rel")
    marks, _ = _pooled(voltage, np.ones_like(voltage), u_rel)
    return tuple(marks)


def accept(voltage_v: ArrayLike, current_a: ArrayLike, *, u_voltage_rel: float | None = None) -> Readings:
    """Return the readings rising in voltage, neighbours averaged where scatter alone made them fall.

    Practice: keeping only rising readings would prefer those that read high and bias a dense curve; the
    logarithms of both quantities are averaged instead.

    Errors: `BadInput` for wrong shapes, fewer than three readings, and a fall or repeat beyond tolerance.

    >>> accept([10.0, 20.0, 19.98, 30.0], [0.1, 0.2, 0.2, 0.5], u_voltage_rel=0.002).count
    (1, 2, 1)
    """
    voltage = checked(voltage_v, "voltage")
    current = checked(current_a, "current")
    u_rel = checked_uncertainty_rel(u_voltage_rel, "u_voltage_rel")
    if voltage.size != current.size:
        raise BadInput("current", current.size, f"each of the {voltage.size} voltages needs its current")
    if voltage.size < FEWEST_READINGS_COUNT:
        raise BadInput("readings", voltage.size, f"a curve needs at least {FEWEST_READINGS_COUNT}")
    marks, blocks = _pooled(voltage, current, u_rel)
    if any(marks):
        index = marks.index(True)
        raise BadInput(
            "voltage",
            float(voltage[index]),
            f"reading {index + 1} does not rise: a curve is taken upwards only",
        )
    if len(blocks) < FEWEST_READINGS_COUNT:
        raise BadInput("readings", len(blocks), "fewer than three voltages can be told apart")
    return Readings(
        tuple(block.voltage_v for block in blocks),
        tuple(block.current_a for block in blocks),
        tuple(block.count for block in blocks),
    )


@dataclass(frozen=True, slots=True)
class _Block:
    """Neighbours that scatter does not tell apart: their geometric means and how many they are."""

    voltage_v: float
    current_a: float
    count: int

    def with_(self, other: _Block) -> _Block:
        count = self.count + other.count
        share = other.count / count
        return _Block(
            self.voltage_v * (other.voltage_v / self.voltage_v) ** share,
            self.current_a * (other.current_a / self.current_a) ** share,
            count,
        )


def _pooled(voltage: Floats, current: Floats, u_rel: float | None) -> tuple[list[bool], list[_Block]]:
    """Return which readings are reversed, and the blocks, rising in voltage, that the others make."""
    marks: list[bool] = []
    blocks: list[_Block] = []
    for v, i in zip(voltage.tolist(), current.tolist(), strict=True):
        fallen = False
        if blocks and v <= blocks[-1].voltage_v * _SAME_VOLTAGE:
            fallen = u_rel is None or v < blocks[-1].voltage_v * (1.0 - FALL_FACTOR * u_rel)
        marks.append(fallen)
        if fallen:
            continue
        here = _Block(v, i, 1)
        while blocks and here.voltage_v <= blocks[-1].voltage_v * _SAME_VOLTAGE:
            here = blocks.pop().with_(here)
        blocks.append(here)
    return marks, blocks
