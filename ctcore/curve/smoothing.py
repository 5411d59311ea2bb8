"""The curve behind scattering readings: slope always rising current, roughness weighed by evidence.

Model: ln I = c + integral of exp(s) over ln V, with s a cubic B-spline evenly spaced in V, so that the
current always rises with the voltage. Each reading scatters with the variance u_I^2 + (slope u_V)^2.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log, sqrt

import numpy as np

from ctcore.curve.hermite import LogCurve
from ctcore.curve.readings import Floats, Readings

_INTERVAL_COUNT = 20
_COEFFICIENT_COUNT = _INTERVAL_COUNT + 3
_LARGEST_STEP = 1.0
_SETTLED = 1e-3
_GAUSS_NODE = np.array([-(0.6**0.5), 0.0, 0.6**0.5])
_GAUSS_WEIGHT = np.array([5.0, 8.0, 5.0]) / 9.0
_ROUGHNESS = np.diff(np.eye(_COEFFICIENT_COUNT), 2, axis=0) * _INTERVAL_COUNT**1.5
_PENALTY = _ROUGHNESS.T @ _ROUGHNESS
_NODE_COUNT = 241


@dataclass(frozen=True, slots=True)
class Smoothed:
    """The smoothed curve with what the uncertainty of anything read from it needs."""

    curve: LogCurve
    coefficients: Floats
    covariance: Floats
    voltage_first_v: float
    voltage_last_v: float

    def basis(self, ln_voltage: Floats) -> Floats:
        """Change of s at each ln V for a unit change of each coefficient."""
        span = self.voltage_last_v - self.voltage_first_v
        return _basis((np.exp(ln_voltage) - self.voltage_first_v) / span)

    def standard_uncertainty(self, gradient: Floats) -> float:
        """Standard uncertainty of a quantity whose change per unit coefficient is `gradient`."""
        return sqrt(max(float(gradient @ self.covariance @ gradient), 0.0))


def smooth(readings: Readings, *, u_voltage_rel: float, u_current_rel: float) -> Smoothed:
    """Return the smoothed curve.

    Formula: least squares with a penalty on the second differences of s; strength of the penalty where the
    evidence (Laplace) is greatest; corrected for bias as twice the fit less the fit of the fitted readings.

    Source: Eilers and Marx, Statistical Science 11 (1996) 89 (penalty); MacKay, Neural Computation 4 (1992)
    415 (evidence); Tukey, Exploratory Data Analysis, 1977 (twicing); all from memory.

    >>> law = Readings((10.0, 20.0, 30.0, 40.0), (0.01, 0.02, 0.03, 0.04), (1, 1, 1, 1))
    >>> fit = smooth(law, u_voltage_rel=0.002, u_current_rel=0.005)
    >>> bool(np.allclose(fit.curve.slope_node, 1.0, atol=1e-3))
    True
    """
    plan = _Plan(readings, u_voltage_rel, u_current_rel)
    ln_current = np.log(np.array(readings.current_a))
    best = _best(plan, ln_current)
    again = _settle(plan, best.fitted, best.strength, best.constant, best.coefficients)
    constant = 2.0 * best.constant - again.constant
    coefficients = 2.0 * best.coefficients - again.coefficients
    return Smoothed(
        plan.curve(constant, coefficients),
        coefficients,
        np.asarray(np.linalg.inv(best.information)[1:, 1:], dtype=np.float64),
        plan.voltage_first_v,
        plan.voltage_last_v,
    )


def _basis(t: Floats) -> Floats:
    """Values of the cubic B-splines evenly spaced on 0 to 1, one row for each t."""
    place = np.clip(t, 0.0, 1.0) * _INTERVAL_COUNT
    piece = np.minimum(place.astype(np.intp), _INTERVAL_COUNT - 1)
    z = place - piece
    values = np.zeros((t.size, _COEFFICIENT_COUNT))
    row = np.arange(t.size)
    values[row, piece] = (1.0 - z) ** 3 / 6.0
    values[row, piece + 1] = (3.0 * z**3 - 6.0 * z**2 + 4.0) / 6.0
    values[row, piece + 2] = (-3.0 * z**3 + 3.0 * z**2 + 3.0 * z + 1.0) / 6.0
    values[row, piece + 3] = z**3 / 6.0
    return values


class _Plan:
    """What stays the same while the strength of the penalty is sought."""

    def __init__(self, readings: Readings, u_voltage_rel: float, u_current_rel: float) -> None:
        voltage = np.array(readings.voltage_v)
        self.count = np.array(readings.count, dtype=np.float64)
        self.u_voltage_rel, self.u_current_rel = u_voltage_rel, u_current_rel
        self.x = np.log(voltage)
        self.voltage_first_v, self.voltage_last_v = float(voltage[0]), float(voltage[-1])
        knot = np.linspace(self.voltage_first_v, self.voltage_last_v, _INTERVAL_COUNT + 1)
        edge = np.unique(np.concatenate([np.log(knot[1:-1]), self.x]))
        half = np.diff(edge) / 2.0
        at = ((edge[1:] + edge[:-1])[:, None] / 2.0 + half[:, None] * _GAUSS_NODE).ravel()
        weight = (half[:, None] * _GAUSS_WEIGHT).ravel()
        self.basis_at, self.basis_reading = self.basis(at), self.basis(self.x)
        self.integral = np.where(at[None, :] < self.x[:, None], weight, 0.0)

    def basis(self, ln_voltage: Floats) -> Floats:
        span = self.voltage_last_v - self.voltage_first_v
        return _basis((np.exp(ln_voltage) - self.voltage_first_v) / span)

    def start(self, ln_current: Floats) -> Floats:
        """Coefficients from the chords between readings, strongly smoothed."""
        chord = np.log(np.clip(np.diff(ln_current) / np.diff(self.x), 0.1, 40.0))
        middle = self.basis((self.x[1:] + self.x[:-1]) / 2.0)
        matrix = middle.T @ middle + 3e-4 * _PENALTY + 1e-9 * np.eye(_COEFFICIENT_COUNT)
        start: Floats = np.linalg.solve(matrix, middle.T @ chord)
        return start

    def curve(self, constant: float, coefficients: Floats) -> LogCurve:
        node = np.unique(np.concatenate([np.linspace(self.x[0], self.x[-1], _NODE_COUNT), self.x]))
        step = np.diff(node)
        slope = np.exp(self.basis(node) @ coefficients)
        middle = np.exp(self.basis((node[1:] + node[:-1]) / 2.0) @ coefficients)
        rise = step * (slope[1:] + slope[:-1] + 4.0 * middle) / 6.0
        return LogCurve(node, constant + np.concatenate([[0.0], np.cumsum(rise)]), slope)


@dataclass(frozen=True, slots=True)
class _Fit:
    strength: float
    constant: float
    coefficients: Floats
    information: Floats
    fitted: Floats
    evidence: float


def _settle(plan: _Plan, ln_current: Floats, strength: float, constant: float, start: Floats) -> _Fit:
    """Penalised least squares by Gauss and Newton, the weights following the slope."""
    coefficients = start
    for _ in range(30):
        slope_at = np.exp(plan.basis_at @ coefficients)
        jacobian = np.column_stack(
            [np.ones_like(ln_current), plan.integral @ (slope_at[:, None] * plan.basis_at)]
        )
        fitted = constant + plan.integral @ slope_at
        slope = np.exp(plan.basis_reading @ coefficients)
        weight = plan.count / (plan.u_current_rel**2 + (slope * plan.u_voltage_rel) ** 2)
        residual = ln_current - fitted
        weighted = jacobian.T * weight
        information = weighted @ jacobian
        information[1:, 1:] += strength * _PENALTY
        pull = weighted @ residual
        pull[1:] -= strength * (_PENALTY @ coefficients)
        change = np.linalg.solve(information, pull)
        largest = float(np.abs(change[1:]).max())
        if largest < _SETTLED:
            break
        change *= min(1.0, _LARGEST_STEP / largest)
        constant += float(change[0])
        coefficients = coefficients + change[1:]
    roughness = _ROUGHNESS @ coefficients
    evidence = 0.5 * (
        -float(weight @ residual**2)
        - strength * float(roughness @ roughness)
        + (_COEFFICIENT_COUNT - 2) * log(strength)
        - float(np.linalg.slogdet(information)[1])
        + float(np.log(weight).sum())
    )
    return _Fit(strength, constant, coefficients, information, fitted, evidence)


def _best(plan: _Plan, ln_current: Floats) -> _Fit:
    """The fit of greatest evidence, the strength sought downwards from the smoothest."""
    coefficients, constant = plan.start(ln_current), float(ln_current[0])
    best: _Fit | None = None
    for exponent in np.arange(4.0, -8.1, -0.5):
        fit = _settle(plan, ln_current, 10.0**exponent, constant, coefficients)
        constant, coefficients = fit.constant, fit.coefficients
        if best is None or fit.evidence > best.evidence:
            best = fit
    assert best is not None
    return best
