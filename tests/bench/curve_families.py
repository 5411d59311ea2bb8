"""Families of excitation curves with known knees, unlike one another, for Monte Carlo studies.

All are closed forms or measured steels; none is the form that the smoothing is made of.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import log, sqrt
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Law = Callable[[Floats], Floats]

STEELS = Path(__file__).parents[1] / "published" / "bh"
# A toroid of 120 turns, mean path 0.6 m, 12 cm2, 50 Hz: volts per tesla and amperes per A/m (arithmetic).
VOLTS_PER_TESLA = 2.0 * np.pi / sqrt(2.0) * 50.0 * 120 * 12e-4
AMPERES_PER_A_PER_M = 0.6 / (120 * sqrt(2.0))


@dataclass(frozen=True, slots=True)
class Family:
    """A law of current over voltage in the range given in V, and whether it stands for a measured steel."""

    name: str
    law: Law
    low_v: float
    high_v: float

    def knees_v(self) -> dict[str, float]:
        """The knees by the definitions themselves, on a grid so fine that it does not matter."""
        x = np.linspace(log(self.low_v), log(self.high_v), 400_001)
        y = np.log(self.law(np.exp(x)))
        shift = log(1.1)
        step = np.interp(x + shift, x, y) - y - log(1.5)
        step[x > x[-1] - shift] = -1.0
        slope = np.gradient(y, x)
        return {
            "iec": _upward(x, step),
            "tangent45": _upward(x, slope - 1.0),
            "tangent30": _upward(x, slope - sqrt(3.0)),
        }


def _upward(x: Floats, excess: Floats) -> float:
    (place,) = np.flatnonzero((excess[:-1] < 0.0) & (excess[1:] >= 0.0))
    return float(np.exp(x[place]))


def two_powers(p: float, m: float, *, a: float, b: float, v0: float) -> Law:
    return lambda v: a * (v / v0) ** p + b * (v / v0) ** m


def steel_points(name: str) -> tuple[Floats, Floats]:
    """H in A/m and B in T of a steel, without the origin and without points that were extrapolated."""
    lines = (STEELS / f"pyleecan_{name}.csv").read_text(encoding="utf-8").splitlines()
    rows = [[float(cell) for cell in line.split(",")] for line in lines if line[:1].isdigit()]
    h, b = np.array(rows[1:]).T
    kept = h < 50_000.0
    return h[kept], b[kept]


def steel(name: str) -> Law:
    from scipy.interpolate import PchipInterpolator

    h, b = steel_points(name)
    through = PchipInterpolator(np.log(b * VOLTS_PER_TESLA), np.log(h * AMPERES_PER_A_PER_M))
    return lambda v: np.exp(through(np.log(v)))


def flux_law(flux_of_h: Callable[[Floats], Floats]) -> Law:
    """Current over voltage where the flux is given over the field: the law turned round."""
    h = np.geomspace(1e-4, 1e3, 40_001)
    flux = flux_of_h(h)
    return lambda v: 0.01 * np.exp(np.interp(np.log(v / 150.0), np.log(flux), np.log(h)))


def logistic_slope(low: float, high: float, *, width: float, v0: float) -> Law:
    x = np.linspace(log(5.0), log(600.0), 40_001)
    slope = low + (high - low) / (1.0 + np.exp(-(np.exp(x) / v0 - 1.0) / width))
    y = np.concatenate([[0.0], np.cumsum((slope[1:] + slope[:-1]) / 2.0 * np.diff(x))])
    return lambda v: 0.001 * np.exp(np.interp(np.log(v), x, y))


def power_exponential(v: Floats) -> Floats:
    return 0.01 * (v / 200.0) ** 0.8 * np.exp((v / 200.0) ** 6)


def arctangent(h: Floats) -> Floats:
    return 2.0 / np.pi * np.arctan(1.5 * h**1.3) + 0.005 * h


FAMILIES = (
    Family("two powers 0.75/12", two_powers(0.75, 12.0, a=0.05, b=0.01, v0=200.0), 20.0, 300.0),
    Family("two powers 0.6/18", two_powers(0.6, 18.0, a=0.02, b=0.004, v0=400.0), 40.0, 480.0),
    Family("two powers 0.5/25", two_powers(0.5, 25.0, a=0.02, b=0.002, v0=200.0), 20.0, 260.0),
    Family("two powers 0.9/8", two_powers(0.9, 8.0, a=0.02, b=0.004, v0=200.0), 20.0, 300.0),
    Family("power times exponential", power_exponential, 20.0, 300.0),
    Family("pole", lambda v: 0.01 * (v / 200) ** 0.75 / (1 - (v / 270) ** 2.0) ** 2, 20.0, 250.0),
    Family("logistic slope", logistic_slope(0.65, 16.0, width=0.06, v0=300.0), 30.0, 380.0),
    Family("arctangent flux", flux_law(arctangent), 5.0, 220.0),
    Family("M270-35A", steel("M270-35A"), 3.3, 57.0),
    Family("M235-35A", steel("M235-35A"), 3.3, 63.0),
)


def volts_taken(family: Family, knee_v: float, count: int = 15) -> Floats:
    """Evenly spaced voltages from a fifth of the IEC knee to a quarter above it."""
    return np.linspace(max(0.2 * knee_v, family.low_v), min(1.25 * knee_v, family.high_v), count)
