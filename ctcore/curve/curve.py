"""The measured curve of voltage against exciting current."""

from __future__ import annotations

from functools import cached_property
from math import exp, log, sqrt
from typing import overload

import numpy as np
from numpy.typing import ArrayLike

from ctcore.curve.hermite import LogCurve, through
from ctcore.curve.knee import (
    ENOUGH_NEAR_COUNT,
    FEWEST_NEAR_COUNT,
    STEEPEST_RATIO,
    VOLTAGE_STEP_RATIO,
    Definition,
    Knee,
    crossing,
    near_count,
    rule_of,
)
from ctcore.curve.readings import Floats, Readings, accept, checked, checked_uncertainty_rel
from ctcore.curve.smoothing import Smoothed, smooth
from ctcore.errors import BadInput, NoKnee

_EDGE = 1e-12
_STEP_NODE_COUNT = 17
_MOST_TANGENTS_COUNT = 60
# The tangent squares the error: a step of this size leaves none that a double could hold.
_SETTLED_SHARE = 1e-8


class Curve:
    """One take of readings of voltage against exciting current, rising.

    Formula: with the scatter of both meters stated, the curve is smoothed accordingly; else it goes through
    every reading, and what is derived carries no uncertainty.

    Args: voltage_v in V and current_a in A, in the order taken, at least three, all above zero; u_voltage_rel
    and u_current_rel relative standard uncertainties (k = 1) from reading to reading; u_voltage_scale_rel the
    part common to all voltages (calibration), which does not average out.
    Range: between the first and the last voltage; nothing is extrapolated.
    Errors: `BadInput` for wrong shapes, values that are not above zero, and voltages that fall or repeat
    beyond 3 sqrt2 u_voltage_rel.
    Source: IEC 61869-2:2012, 3.4.215 and 3.4.216, for the curve and its knee.

    >>> curve = Curve([10.0, 20.0, 40.0, 50.0], [0.001, 0.002, 0.004, 0.005])
    >>> round(curve.current_a(30.0), 9)
    0.003
    """

    def __init__(
        self,
        voltage_v: ArrayLike,
        current_a: ArrayLike,
        *,
        u_voltage_rel: float | None = None,
        u_current_rel: float | None = None,
        u_voltage_scale_rel: float = 0.0,
    ) -> None:
        self.u_voltage_rel = checked_uncertainty_rel(u_voltage_rel, "u_voltage_rel")
        self.u_current_rel = checked_uncertainty_rel(u_current_rel, "u_current_rel")
        scale = checked_uncertainty_rel(u_voltage_scale_rel, "u_voltage_scale_rel")
        if scale is None:
            raise BadInput("u_voltage_scale_rel", None, "leave it out where it is not known")
        self.u_voltage_scale_rel: float = scale
        self.readings: Readings = accept(voltage_v, current_a, u_voltage_rel=self.u_voltage_rel)
        if self.u_voltage_rel == 0.0 and self.u_current_rel == 0.0:
            raise BadInput("u_voltage_rel", 0.0, "both meters scatter; leave both out where it is not known")

    @property
    def is_smoothed(self) -> bool:
        """Whether the scatter of both meters is stated."""
        return self.u_voltage_rel is not None and self.u_current_rel is not None

    @property
    def voltage_first_v(self) -> float:
        """The lowest voltage in V."""
        return self.readings.voltage_v[0]

    @property
    def voltage_last_v(self) -> float:
        """The highest voltage in V."""
        return self.readings.voltage_v[-1]

    @overload
    def current_a(self, voltage_v: float) -> float: ...
    @overload
    def current_a(self, voltage_v: Floats) -> Floats: ...
    def current_a(self, voltage_v: float | Floats) -> float | Floats:
        """Return the exciting current in A at a voltage in V between the first and the last reading.

        Errors: `BadInput` outside the readings.

        >>> round(Curve([10.0, 20.0, 40.0], [0.001, 0.002, 0.004]).current_a(25.0), 9)
        0.0025
        """
        first, last = self.voltage_first_v, self.voltage_last_v
        if type(voltage_v) is float and first <= voltage_v <= last:
            # The short way: a class table and its checks ask for one place at a time.
            ends = self.log_curve
            return exp(ends.ln_current_at(min(max(log(voltage_v), ends.first), ends.last)))
        asked = checked(np.atleast_1d(voltage_v), "voltage")
        outside = (asked < first * (1.0 - _EDGE)) | (asked > last * (1.0 + _EDGE))
        if outside.any():
            raise BadInput("voltage", float(asked[outside][0]), _between(first, last, "V"))
        curve = self.log_curve
        current = np.exp(curve.ln_current(np.clip(np.log(asked), curve.first, curve.last)))
        return float(current[0]) if np.ndim(voltage_v) == 0 else current

    @overload
    def voltage_v(self, current_a: float) -> float: ...
    @overload
    def voltage_v(self, current_a: Floats) -> Floats: ...
    def voltage_v(self, current_a: float | Floats) -> float | Floats:
        """Return the voltage in V at which the exciting current in A flows.

        Errors: `BadInput` outside the readings, and where the current does not rise all along the curve.

        >>> round(Curve([10.0, 20.0, 40.0], [0.001, 0.002, 0.004]).voltage_v(0.0025), 9)
        25.0
        """
        asked = checked(np.atleast_1d(current_a), "current")
        node = self.log_curve.ln_current_node
        if np.any(np.diff(node) <= 0.0):
            raise BadInput("current", float(asked[0]), "the current does not rise all along this curve")
        first, last = exp(node[0]), exp(node[-1])
        outside = (asked < first * (1.0 - _EDGE)) | (asked > last * (1.0 + _EDGE))
        if outside.any():
            raise BadInput("current", float(asked[outside][0]), _between(first, last, "A"))
        voltage = np.exp(_inverse(self.log_curve, np.clip(np.log(asked), node[0], node[-1])))
        return float(voltage[0]) if np.ndim(current_a) == 0 else voltage

    def knee(self, definition: str) -> Knee:
        """Return the knee by "iec", "tangent45" or "tangent30".

        Formula: "iec" I(1.1 V) = 1.5 I(V); "tangent45" d ln I / d ln V = 1; "tangent30" sqrt3; each an upward
        crossing. u^2 = u_scatter^2 + (V u_scale)^2, with k = 1.
        Errors: `NoKnee` when the readings stop short, start too high, are too few near it, or there are two.
        Source: IEC 61869-2:2012, 3.4.215 and 3.4.216; IEEE C57.13 as given in IEEE Std 3004.1-2013.

        >>> volts = np.linspace(100.0, 480.0, 39)
        >>> knee = Curve(volts, 0.02 * (volts / 400.0) ** 0.6 + 0.004 * (volts / 400.0) ** 18).knee("iec")
        >>> round(knee.voltage_v, 1), knee.u_voltage_v is None
        (386.2, True)
        """
        rule = rule_of(definition)
        place = crossing(self.log_curve, rule.definition)
        voltage = exp(place)
        self._demand_readings_near(voltage)
        u_voltage = None
        if self._smoothed is not None:
            u_scatter_rel = _u_rel(self._smoothed, rule.definition, place)
            u_voltage = voltage * sqrt(u_scatter_rel**2 + self.u_voltage_scale_rel**2)
        current = exp(float(self.log_curve.ln_current(np.array([place]))[0]))
        return Knee(voltage, current, u_voltage, rule.definition)

    def _demand_readings_near(self, voltage: float) -> None:
        near = near_count(np.array(self.readings.voltage_v), np.array(self.readings.count), voltage)
        fewest = FEWEST_NEAR_COUNT["smoothed" if self.is_smoothed else "through"]
        if near < fewest:
            raise NoKnee(
                f"too few readings: {near} between 0.8 and 1.25 of about {voltage:.3g} V, "
                f"at least {fewest} are needed"
            )
        if near < ENOUGH_NEAR_COUNT:
            self._demand_no_hidden_corner(voltage)

    def _demand_no_hidden_corner(self, voltage: float) -> None:
        """Refuse where few readings stand apart so far that a corner between them would go unseen."""
        taken = np.array(self.readings.voltage_v)
        right = int(np.clip(np.searchsorted(taken, voltage), 1, taken.size - 1))
        gap = taken[right - 1 : right + 1]
        slope = self.log_curve.slope(np.log(gap))
        if slope[1] > STEEPEST_RATIO * slope[0]:
            raise NoKnee(
                f"too few readings: between {gap[0]:.4g} V and {gap[1]:.4g} V the curve gets more than "
                f"{STEEPEST_RATIO:g} times as steep; take one between them"
            )

    @cached_property
    def _smoothed(self) -> Smoothed | None:
        if self.u_voltage_rel is None or self.u_current_rel is None:
            return None
        return smooth(self.readings, u_voltage_rel=self.u_voltage_rel, u_current_rel=self.u_current_rel)

    @cached_property
    def log_curve(self) -> LogCurve:
        """ln I over ln V, smoothed where the scatter is stated."""
        return through(self.readings) if self._smoothed is None else self._smoothed.curve


def _between(first: float, last: float, unit: str) -> str:
    return f"the readings go from {first:.6g} {unit} to {last:.6g} {unit}, and nothing is extrapolated"


def _inverse(curve: LogCurve, ln_current: Floats) -> Floats:
    """ln V at which the rising curve has each ln I: tangents within the piece that holds it, halving where
    a tangent leads out of what is left of the piece."""
    right = np.searchsorted(curve.ln_current_node, ln_current, side="right")
    piece = np.clip(right - 1, 0, curve.ln_voltage.size - 2)
    start, step = curve.ln_voltage[piece], curve.ln_voltage[piece + 1] - curve.ln_voltage[piece]
    y0, rise = curve.ln_current_node[piece], np.diff(curve.ln_current_node)[piece]
    m0, m1 = curve.slope_node[piece] * step, curve.slope_node[piece + 1] * step
    square, cube = 3.0 * rise - 2.0 * m0 - m1, m0 + m1 - 2.0 * rise
    low, high = np.zeros_like(y0), np.ones_like(y0)
    z = np.clip((ln_current - y0) / rise, 0.0, 1.0)
    for _ in range(_MOST_TANGENTS_COUNT):
        excess = y0 - ln_current + z * (m0 + z * (square + z * cube))
        low, high = np.where(excess < 0.0, z, low), np.where(excess < 0.0, high, z)
        slope = m0 + z * (2.0 * square + 3.0 * z * cube)
        ahead = z - excess / np.where(slope > 0.0, slope, np.inf)
        nearer = np.where((ahead >= low) & (ahead <= high), ahead, (low + high) / 2.0)
        settled = bool(np.all(np.abs(nearer - z) <= _SETTLED_SHARE))
        z = nearer
        if settled:
            break
    return start + z * step


def _u_rel(smoothed: Smoothed, definition: Definition, place: float) -> float:
    """Relative standard uncertainty of a knee voltage from the scatter of the readings."""
    if definition != "iec":
        u_ln_slope = smoothed.standard_uncertainty(smoothed.basis(np.array([place]))[0])
        return u_ln_slope / _bend(smoothed, place)
    x = np.linspace(place, place + log(VOLTAGE_STEP_RATIO), _STEP_NODE_COUNT)
    weight = np.full(_STEP_NODE_COUNT, x[1] - x[0])
    weight[[0, -1]] /= 2.0
    slope = smoothed.curve.slope(np.minimum(x, smoothed.curve.last))
    return smoothed.standard_uncertainty((weight * slope) @ smoothed.basis(x)) / float(slope[-1] - slope[0])


def _bend(smoothed: Smoothed, place: float) -> float:
    """Change of the logarithm of the slope per ln V at a place."""
    around = np.clip(np.array([place - 1e-4, place + 1e-4]), smoothed.curve.first, smoothed.curve.last)
    s = smoothed.basis(around) @ smoothed.coefficients
    return float((s[1] - s[0]) / (around[1] - around[0]))
