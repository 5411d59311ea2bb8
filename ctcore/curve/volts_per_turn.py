"""Volts per turn against ampere-turns: the curves of all taps of one core fall on one line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

import numpy as np

from ctcore.curve.curve import Curve
from ctcore.errors import BadInput

_GRID_COUNT = 60


@dataclass(frozen=True, slots=True)
class Tap:
    """One curve of a core and the turns it was taken on."""

    curve: Curve
    turns_count: float


@dataclass(frozen=True, slots=True)
class TapLine:
    """One tap reduced to a turn: ampere-turns in A, volts per turn in V, and its distance from the first tap.

    The distance is that of greatest size, in percent of volts per turn at equal ampere-turns, positive when
    this tap is higher; None when the two share no ampere-turns.
    """

    turns_count: float
    ampere_turns_a: tuple[float, ...]
    volts_per_turn_v: tuple[float, ...]
    furthest_percent: float | None


def on_one_line(taps: Sequence[Tap]) -> tuple[TapLine, ...]:
    """Return every tap as volts per turn against ampere-turns, each compared with the first.

    Formula: V/N against I N; one flux and one magnetomotive force belong together whatever part is excited.
    Range: taps of one core, one frequency; winding drop small against the voltage.
    Errors: `BadInput` for turns that are not above zero, or a current that does not rise.
    Source: arithmetic.

    >>> full = Curve([20.0, 40.0, 80.0], [0.01, 0.02, 0.04])
    >>> half = Curve([10.0, 20.0, 40.0], [0.02, 0.04, 0.08])
    >>> [line.furthest_percent.__round__(6) for line in on_one_line([Tap(full, 200), Tap(half, 100)])]
    [0.0, 0.0]
    """
    for tap in taps:
        if tap.turns_count <= 0:
            raise BadInput("turns", tap.turns_count, "a tap has at least one turn")
    return tuple(
        TapLine(
            tap.turns_count,
            tuple(current * tap.turns_count for current in tap.curve.readings.current_a),
            tuple(voltage / tap.turns_count for voltage in tap.curve.readings.voltage_v),
            _furthest_percent(tap, taps[0]),
        )
        for tap in taps
    )


def _furthest_percent(tap: Tap, first: Tap) -> float | None:
    (low, high), (low_first, high_first) = _ampere_turns(tap), _ampere_turns(first)
    low, high = max(low, low_first), min(high, high_first)
    if low >= high:
        return None
    # A hair inside both ends, so that rounding does not step off a curve.
    ampere_turns = np.exp(np.linspace(log(low) + 1e-12, log(high) - 1e-12, _GRID_COUNT))
    mine = tap.curve.voltage_v(ampere_turns / tap.turns_count) / tap.turns_count
    theirs = first.curve.voltage_v(ampere_turns / first.turns_count) / first.turns_count
    percent = 100.0 * (mine / theirs - 1.0)
    return float(percent[np.argmax(np.abs(percent))])


def _ampere_turns(tap: Tap) -> tuple[float, float]:
    curve = tap.curve
    ends = curve.current_a(np.array([curve.voltage_first_v, curve.voltage_last_v])) * tap.turns_count
    return float(ends[0]), float(ends[1])
