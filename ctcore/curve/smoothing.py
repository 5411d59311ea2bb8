"""The curve behind scattering readings: current always rising, roughness weighed by evidence.

Model: ln I = c + integral of exp(s) over ln V, with s a cubic B-spline evenly spaced in V, so that the
current always rises with the voltage. Each reading scatters with the variance u_I^2 + (slope u_V)^2.
Two priors on s are averaged: one that wants it straight, and one that wants it level, whose share keeps the
uncertainty honest where the readings are too coarse to show a bend.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, inf, log, sqrt

import numpy as np

from ctcore.curve.hermite import LogCurve
from ctcore.curve.readings import Floats, Readings

_INTERVAL_COUNT = 20
_COEFFICIENT_COUNT = _INTERVAL_COUNT + 3
_MOST_GROUPS_COUNT = 120
_NODE_COUNT = 161
_MOST_STEPS_COUNT = 30
_LARGEST_STEP = 1.0
_WORSE = 10.0
_STEEPEST = 12.0
_MOST_WIDENINGS_COUNT = 20
_BEYOND_BELIEF = 100.0
# Assumption: no reading is better than 10 ppm, whatever is stated.
_LEAST_SCATTER_REL = 1e-5
_SETTLED = 5e-2
# Gauss and Legendre with two places; between neighbouring knots and readings exp(s) is almost straight.
_GAUSS_PLACE = np.array([-(3.0**-0.5), 3.0**-0.5])
# Assumption: the share of the rougher prior, the share of the bias taken off and the factor on the width are
# set by Monte Carlo on unlike families of curves (tests/bench/knee_study.py), so that the intervals hold what
# they promise.
_ROUGH_SHARE = 0.25
_BIAS_SHARE = 0.5
_WIDTH_FACTOR = 0.94
_EVIDENCE_LEFT_OUT = 3.0
_NEGLIGIBLE = 0.02
# Before any reading: slope about 2, anything from about 0.1 to 40, and as much change along the curve.
_MEAN = log(2.0)
_LEVEL_SPREAD, _TREND_SPREAD = 1.5, 2.0


@dataclass(frozen=True, slots=True)
class _Prior:
    """Precision of the coefficients for one strength of one roughness penalty, and its log determinant."""

    precision: Floats
    log_determinant: float


def _priors(order: int, strengths: Floats) -> tuple[_Prior, ...]:
    """Priors that want s level (order 1) or straight (order 2), for each strength."""
    difference = np.diff(np.eye(_COEFFICIENT_COUNT), order, axis=0) * _INTERVAL_COUNT ** (order - 0.5)
    place = np.linspace(-1.0, 1.0, _COEFFICIENT_COUNT)
    free = np.linalg.pinv(np.stack([np.ones_like(place), place][:order], axis=1))
    spread = np.array([_LEVEL_SPREAD, _TREND_SPREAD])[:order]
    known = free.T @ (free / spread[:, None] ** 2)
    precisions = [strength * difference.T @ difference + known for strength in strengths]
    return tuple(_Prior(p, float(np.linalg.slogdet(p)[1])) for p in precisions)


# From the strongest down, so that each fit is a good start for the next.
_STRAIGHT = _priors(2, 10.0 ** np.arange(1.0, -7.0, -1.0))
_LEVEL = _priors(1, 10.0 ** np.arange(1.5, -2.6, -1.0))


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
        share = (np.exp(ln_voltage) - self.voltage_first_v) / (self.voltage_last_v - self.voltage_first_v)
        return _basis(share)

    def standard_uncertainty(self, gradient: Floats) -> float:
        """Standard uncertainty of a quantity whose change per unit coefficient is `gradient`."""
        return sqrt(max(float(gradient @ self.covariance @ gradient), 0.0))


def smooth(readings: Readings, *, u_voltage_rel: float, u_current_rel: float) -> Smoothed:
    """Return the smoothed curve.

    Formula: penalised least squares, averaged over the strength of the penalty by its evidence (Laplace);
    one quarter of the prior that wants s level, three of the one that wants s straight, of which half
    the bias that a refit of the fitted readings shows is taken off.

    Args: readings; relative standard uncertainties from reading to reading, not both zero.
    Source: Eilers and Marx, Statistical Science 11 (1996) 89 (penalty); MacKay, Neural Computation 4 (1992)
    415 (evidence); Tukey, Exploratory Data Analysis, 1977 (twicing); all from memory.

    >>> law = Readings((10.0, 20.0, 30.0, 40.0), (0.01, 0.02, 0.03, 0.04), (1, 1, 1, 1))
    >>> fit = smooth(law, u_voltage_rel=0.002, u_current_rel=0.005)
    >>> bool(np.allclose(fit.curve.slope_node, 1.0, atol=0.02))
    True
    """
    # Readings that contradict the stated scatter are taken for as wild as they are, not bent to.
    for widening in 5.0 ** np.arange(_MOST_WIDENINGS_COUNT):
        least = _LEAST_SCATTER_REL if widening > 1.0 else 0.0
        plan = _Plan(readings, max(u_voltage_rel, least) * widening, max(u_current_rel, least) * widening)
        found, excess = _smooth(plan)
        if excess < _BEYOND_BELIEF:
            break
    return found


def _smooth(plan: _Plan) -> tuple[Smoothed, float]:
    """The smoothed curve with its bias taken off, and the factor of the variance found over that stated."""
    start = _Start(float(plan.ln_current[0]), plan.start())
    straight = _average(plan, _STRAIGHT, start)
    level = _average(plan, _LEVEL, straight)
    best = straight.best
    again = _settle(plan, plan.fitted(straight.constant, straight.coefficients), best.prior, best)
    constant = straight.constant + _BIAS_SHARE * (straight.constant - again.constant)
    coefficients = straight.coefficients + _BIAS_SHARE * (straight.coefficients - again.coefficients)
    apart = level.coefficients - straight.coefficients
    covariance = (
        (1.0 - _ROUGH_SHARE) * straight.covariance
        + _ROUGH_SHARE * level.covariance
        + _ROUGH_SHARE * (1.0 - _ROUGH_SHARE) * np.outer(apart, apart)
    )
    constant = (1.0 - _ROUGH_SHARE) * constant + _ROUGH_SHARE * level.constant
    coefficients = (1.0 - _ROUGH_SHARE) * coefficients + _ROUGH_SHARE * level.coefficients
    excess = plan.excess_scatter(level.best)
    curve = plan.curve(constant, coefficients)
    covariance = covariance * _WIDTH_FACTOR**2 * excess
    return Smoothed(curve, coefficients, covariance, plan.voltage_first_v, plan.voltage_last_v), excess


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


def _grouped(voltage: Floats, current: Floats, count: Floats) -> tuple[Floats, Floats, Floats]:
    """ln V, ln I and count, with neighbours of a very dense curve averaged to bound the work."""
    x, y = np.log(voltage), np.log(current)
    if x.size <= _MOST_GROUPS_COUNT:
        return x, y, count
    share = (voltage - voltage[0]) / (voltage[-1] - voltage[0])
    group = np.minimum((share * _MOST_GROUPS_COUNT).astype(np.intp), _MOST_GROUPS_COUNT - 1)
    total = np.bincount(group, count)
    held = total > 0.0
    mean_x: Floats = np.bincount(group, count * x)[held] / total[held]
    mean_y: Floats = np.bincount(group, count * y)[held] / total[held]
    return mean_x, mean_y, np.asarray(total[held], dtype=np.float64)


class _Plan:
    """What stays the same while the strength of the penalty is sought."""

    def __init__(self, readings: Readings, u_voltage_rel: float, u_current_rel: float) -> None:
        voltage, current = np.array(readings.voltage_v), np.array(readings.current_a)
        self.u_voltage_rel, self.u_current_rel = u_voltage_rel, u_current_rel
        self.voltage_first_v, self.voltage_last_v = float(voltage[0]), float(voltage[-1])
        self.x, self.ln_current, self.count = _grouped(
            voltage, current, np.array(readings.count, dtype=np.float64)
        )
        knot = np.linspace(self.voltage_first_v, self.voltage_last_v, _INTERVAL_COUNT + 1)
        inner = np.log(knot[1:-1])
        edge = np.unique(np.concatenate([inner[(inner > self.x[0]) & (inner < self.x[-1])], self.x]))
        half = np.diff(edge) / 2.0
        at = ((edge[1:] + edge[:-1])[:, None] / 2.0 + half[:, None] * _GAUSS_PLACE).ravel()
        weight = np.repeat(half, 2)
        self.inner_count = at.size
        # One array for both: the places of the integral, then the readings.
        self.basis_all = self.basis(np.concatenate([at, self.x]))
        self.basis_at = self.basis_all[: at.size]
        self.integral = np.where(at[None, :] < self.x[:, None], weight, 0.0)

    def basis(self, ln_voltage: Floats) -> Floats:
        share = (np.exp(ln_voltage) - self.voltage_first_v) / (self.voltage_last_v - self.voltage_first_v)
        return _basis(share)

    def start(self) -> Floats:
        """Coefficients from the chords between readings, strongly smoothed."""
        chord = np.log(np.clip(np.diff(self.ln_current) / np.diff(self.x), 0.1, 40.0))
        middle = self.basis((self.x[1:] + self.x[:-1]) / 2.0)
        precision = _STRAIGHT[1].precision
        pull = middle.T @ chord + precision.sum(axis=1) * _MEAN
        start: Floats = np.linalg.solve(middle.T @ middle + precision, pull)
        return start

    def fitted(self, constant: float, coefficients: Floats) -> Floats:
        fitted: Floats = constant + self.integral @ self.slopes(coefficients)[0]
        return fitted

    def slopes(self, coefficients: Floats) -> tuple[Floats, Floats]:
        """Slopes at the places of the integral and at the readings."""
        slope: Floats = np.exp(np.minimum(self.basis_all @ coefficients, _STEEPEST))
        return slope[: self.inner_count], slope[self.inner_count :]

    def weight(self, slope: Floats) -> Floats:
        scatter_squared = self.u_current_rel**2 + (slope * self.u_voltage_rel) ** 2
        weight: Floats = self.count / (scatter_squared + _LEAST_SCATTER_REL**2)
        return weight

    def excess_scatter(self, fit: _Fit) -> float:
        """Factor on the variance where the readings scatter plainly more than was stated, else 1."""
        residual = self.ln_current - self.fitted(fit.constant, fit.coefficients)
        held_back = float(np.sum(np.linalg.inv(fit.information)[1:, 1:] * fit.prior.precision))
        used = _COEFFICIENT_COUNT + 1 - held_back
        free = max(self.x.size - used, 1.0)
        ratio = float(self.weight(self.slopes(fit.coefficients)[1]) @ residual**2) / free
        return ratio if ratio > 1.0 + 4.0 * sqrt(2.0 / free) else 1.0

    def curve(self, constant: float, coefficients: Floats) -> LogCurve:
        ends = np.log([self.voltage_first_v, self.voltage_last_v])
        node = np.unique(np.concatenate([np.linspace(ends[0], ends[1], _NODE_COUNT), self.x[1:-1]]))
        step = np.diff(node)
        s = self.basis(np.concatenate([node, (node[1:] + node[:-1]) / 2.0])) @ coefficients
        both = np.exp(np.minimum(s, _STEEPEST))
        slope, middle = both[: node.size], both[node.size :]
        height = np.concatenate([[0.0], np.cumsum(step * (slope[1:] + slope[:-1] + 4.0 * middle) / 6.0)])
        # The constant belongs to the first of the grouped readings, which may lie above the first voltage.
        return LogCurve(node, constant + height - float(np.interp(self.x[0], node, height)), slope)


@dataclass(frozen=True, slots=True)
class _Fit:
    prior: _Prior
    constant: float
    coefficients: Floats
    information: Floats
    evidence: float


@dataclass(frozen=True, slots=True)
class _Average:
    best: _Fit
    constant: float
    coefficients: Floats
    covariance: Floats


@dataclass(frozen=True, slots=True)
class _Start:
    constant: float
    coefficients: Floats


def _settle(plan: _Plan, ln_current: Floats, prior: _Prior, start: _Fit | _Start | _Average) -> _Fit:
    """Penalised least squares by Gauss and Newton, the weights following the slope."""
    constant, coefficients = start.constant, start.coefficients
    jacobian = np.ones((ln_current.size, _COEFFICIENT_COUNT + 1))
    change: Floats = np.zeros(_COEFFICIENT_COUNT + 1)
    misfit_before = inf
    for _ in range(_MOST_STEPS_COUNT):
        slope_at, slope = plan.slopes(coefficients)
        residual = ln_current - constant - plan.integral @ slope_at
        weight = plan.weight(slope)
        misfit = float(weight @ residual**2) - float(np.log(weight).sum())
        if misfit > misfit_before + _WORSE:
            # The step went too far, as it may where readings contradict one another: half of it back.
            change = change / 2.0
            constant, coefficients = constant - float(change[0]), coefficients - change[1:]
            continue
        misfit_before = misfit
        jacobian[:, 1:] = plan.integral @ (slope_at[:, None] * plan.basis_at)
        weighted = jacobian.T * weight
        information = weighted @ jacobian
        information[1:, 1:] += prior.precision
        off_mean = prior.precision @ (coefficients - _MEAN)
        pull = weighted @ residual
        pull[1:] -= off_mean
        change = np.asarray(np.linalg.solve(information, pull), dtype=np.float64)
        largest = float(np.abs(change[1:]).max())
        change = change * min(1.0, _LARGEST_STEP / max(largest, _SETTLED))
        constant, coefficients = constant + float(change[0]), coefficients + change[1:]
        if largest < _SETTLED:
            break
    penalty = float((coefficients - _MEAN) @ off_mean)
    log_determinant = prior.log_determinant - float(np.linalg.slogdet(information)[1])
    return _Fit(prior, constant, coefficients, information, (log_determinant - misfit_before - penalty) / 2.0)


def _average(plan: _Plan, priors: tuple[_Prior, ...], start: _Start | _Average) -> _Average:
    """The mean of the fits over all strengths, weighed by evidence, from the smoothest down."""
    best = last = _settle(plan, plan.ln_current, priors[0], start)
    fits = [best]
    for prior in priors[1:]:
        last = _settle(plan, plan.ln_current, prior, last)
        fits.append(last)
        if last.evidence > best.evidence:
            best = last
        elif last.evidence < best.evidence - _EVIDENCE_LEFT_OUT:
            break
    weights = [exp(fit.evidence - best.evidence) for fit in fits]
    held = [(fit, weight) for fit, weight in zip(fits, weights, strict=True) if weight > _NEGLIGIBLE]
    total = sum(weight for _, weight in held)
    mean_constant = sum(weight * fit.constant for fit, weight in held) / total
    mean = np.sum([weight * fit.coefficients for fit, weight in held], axis=0) / total
    covariance = np.zeros((mean.size, mean.size))
    for fit, weight in held:
        apart = fit.coefficients - mean
        covariance += weight / total * (np.linalg.inv(fit.information)[1:, 1:] + np.outer(apart, apart))
    return _Average(best, mean_constant, mean, covariance)
