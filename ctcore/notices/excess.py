"""What a curve draws more than its sister phases, and whether a straight path beside the winding explains it.

A shorted turn, a closed primary loop and a burden left on are one thing to the curve: a path that takes
current in proportion to the volts. Which cores show it, resistance and insulation tell them apart.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import median

import numpy as np

from ctcore.notices.sight import Curved, Sight, geometric_steps

# Practice: exciting currents of sister phases agree within 30 % below the knee; common practice, no source.
HIGH_RATIO = 1.3
# Beyond this it is no path but a unit: a factor of a thousand is noticed as such.
UNIT_RATIO = 300.0
# Remanence is worn off by the swing of the test itself: near the knee the curves meet again.
MEETS_RATIO = 1.12
LOW_TO, MIDDLE_FROM, MIDDLE_TO = 0.3, 0.5, 0.9
_PLACES = 24
_STRAIGHT_REL = 0.15


@dataclass(frozen=True, slots=True)
class Excess:
    """How a curve lies to the lowest of its sisters, as ratios of current at equal volts.

    `low_ratio` below 0.3 of the knee, `middle_ratio` from 0.5 to 0.9 of it. `conductance_s` is that of a path
    beside the winding that would explain it, seen from the terminals, `cosine` the angle between its current
    and the rest; `is_straight` says whether it does explain it. `against` are the phases compared with.
    """

    curved: Curved
    low_ratio: float
    middle_ratio: float
    conductance_s: float
    cosine: float
    is_straight: bool
    against: tuple[str, ...]

    @property
    def is_high(self) -> bool:
        """Whether the curve draws more all the way to the knee."""
        return HIGH_RATIO <= self.middle_ratio < UNIT_RATIO and self.low_ratio >= MEETS_RATIO

    @property
    def is_low_end_only(self) -> bool:
        """Whether it draws more at the low end and meets the sisters towards the knee."""
        return self.low_ratio >= HIGH_RATIO and self.middle_ratio < MEETS_RATIO

    @property
    def at_v(self) -> float:
        """The voltage at which the path's current is told: the highest reading below the knee."""
        knee = self.curved.knee_v or self.curved.last_v
        return min(knee * MIDDLE_TO, self.curved.last_v)


def excess_of(sight: Sight, curved: Curved) -> Excess | None:
    """How a curve lies to its sisters; None where there is no like curve that overlaps it below the knee."""
    alike = [other for other in sight.alike(curved) if other.knee_v is not None]
    found = [(_profile(curved, other), other) for other in alike]
    usable = [
        (profile, other)
        for profile, other in found
        if profile is not None and median(profile[1] / profile[2]) < UNIT_RATIO
    ]
    if not usable:
        return None
    # The least sister is the healthiest: of three phases two may share a fault.
    (volts, mine, theirs), least = max(usable, key=lambda pair: median(pair[0][1] / pair[0][2]))
    knee = least.knee_v or least.last_v
    ratios = mine / theirs
    low, middle = volts <= LOW_TO * knee, (volts >= MIDDLE_FROM * knee) & (volts <= MIDDLE_TO * knee)
    if not low.any() or not middle.any():
        return None
    conductance, cosine, residual = _path(volts, mine, theirs)
    return Excess(
        curved,
        float(np.median(ratios[low])),
        float(np.median(ratios[middle])),
        conductance,
        cosine,
        residual <= _STRAIGHT_REL,
        tuple(other.scene.ct.phase_text for _, other in usable),
    )


def whole(sight: Sight) -> Excess | None:
    """The excess of the curve with the most turns; None where no curve can be compared."""
    ordered = sorted(sight.curved(), key=lambda entry: -entry.tap.ns_over_np_ratio)
    found = (excess_of(sight, curved) for curved in ordered)
    return next((excess for excess in found if excess is not None), None)


_Profile = tuple[np.ndarray, np.ndarray, np.ndarray]


def _profile(curved: Curved, other: Curved) -> _Profile | None:
    """Volts with both currents at them, on equal logarithmic steps up to the knee of the other."""
    knee = other.knee_v
    low = max(curved.first_v, other.first_v)
    high = min(curved.last_v, other.last_v, knee if knee is not None else math.inf)
    if low * 1.2 >= high:
        return None
    if curved.view.curve is None or other.view.curve is None:
        return None
    volts = np.asarray(geometric_steps(low * (1.0 + 1e-9), high * (1.0 - 1e-9), _PLACES))
    mine, theirs = curved.view.curve.current_a(volts), other.view.curve.current_a(volts)
    return volts, np.asarray(mine), np.asarray(theirs)


def _path(volts: np.ndarray, mine: np.ndarray, theirs: np.ndarray) -> tuple[float, float, float]:
    """The path that explains the most: I^2 = I0^2 + (G V)^2 + 2 c G V I0, with c between 0 and 1.

    Result: G in S, c, and the r.m.s. of what is left, relative to the current. The angle does not change much
    below the knee, so one c serves.
    """
    cosine = np.linspace(0.0, 1.0, 21)[:, None]
    # At each point the G that makes it true; their median is the path, their scatter the doubt.
    inside = (cosine * theirs) ** 2 + mine**2 - theirs**2
    own = (np.sqrt(np.maximum(inside, 0.0)) - cosine * theirs) / volts
    conductance = np.maximum(np.median(own, axis=1, keepdims=True), 0.0)
    drawn = conductance * volts
    fitted = np.sqrt(theirs**2 + drawn**2 + 2.0 * cosine * drawn * theirs)
    residual = np.sqrt(np.mean((fitted / mine - 1.0) ** 2, axis=1))
    best = int(np.argmin(residual))
    return float(conductance[best, 0]), float(cosine[best, 0]), float(residual[best])
