"""The three knees: what each one is, and where a curve has it."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log, radians, tan
from typing import Literal, get_args

import numpy as np

from ctcore.curve.hermite import LogCurve
from ctcore.curve.readings import Floats
from ctcore.errors import BadInput, NoKnee

Definition = Literal["iec", "tangent45", "tangent30"]
DEFINITIONS: tuple[Definition, ...] = get_args(Definition)

VOLTAGE_STEP_RATIO = 1.1
CURRENT_STEP_RATIO = 1.5
_SEARCH_COUNT = 301
NEAR_LOW, NEAR_HIGH = 0.8, 1.25
# With a stated scatter the uncertainty widens by itself where readings are few; without, nothing warns.
FEWEST_NEAR_COUNT = {"smoothed": 2, "through": 3}


ENOUGH_NEAR_COUNT = 5
# Assumption: with fewer than enough, a slope growing more between two neighbours hides where it grows; by the
# study of tests/bench the intervals hold below this and fail above.
STEEPEST_RATIO = 4.5


@dataclass(frozen=True, slots=True)
class KneeRule:
    """How one knee is defined, with its source and the standing of that source."""

    definition: Definition
    meaning_text: str
    source_text: str
    standing_text: str
    # Slope d ln I / d ln V at the knee; None where the finite step decides.
    slope: float | None


RULES: dict[Definition, KneeRule] = {
    "iec": KneeRule(
        "iec",
        "the r.m.s. voltage whose rise by 10 % raises the r.m.s. current by 50 %",
        "IEC 61869-2:2012, 3.4.215 and 3.4.216",
        "seen",
        None,
    ),
    "tangent45": KneeRule(
        "tangent45",
        "the 45 degree tangent on log-log paper of equal decades, the point of greatest V/I",
        "IEEE C57.13, as given in IEEE Std 3004.1-2013",
        "seen",
        1.0,
    ),
    "tangent30": KneeRule(
        "tangent30",
        "the 30 degree tangent on log-log paper of equal decades, for gapped cores",
        "IEEE C57.13",
        "from memory",
        1.0 / tan(radians(30.0)),
    ),
}


@dataclass(frozen=True, slots=True)
class Knee:
    """One knee: voltage in V, current in A, standard uncertainty of the voltage in V, or None.

    >>> Knee(200.0, 0.06, None, "iec").u_voltage_v is None
    True
    """

    voltage_v: float
    current_a: float
    u_voltage_v: float | None
    definition: Definition


@dataclass(frozen=True, slots=True)
class Found:
    """Upward crossings in ln V, rising, and whether the first reading is already beyond the definition."""

    places: tuple[float, ...]
    starts_above: bool


def rule_of(definition: str) -> KneeRule:
    """Return the rule of a knee by its name.

    >>> rule_of("tangent30").slope.__round__(4)
    1.7321
    """
    for rule in RULES.values():
        if rule.definition == definition:
            return rule
    raise BadInput("knee definition", definition, f"it is one of {', '.join(DEFINITIONS)}")


def crossing(curve: LogCurve, definition: Definition) -> float:
    """Return ln V of the only knee that the curve has by this definition.

    Formula: the upward crossing of ln I(1.1 V) - ln I(V) over ln 1.5, or of d ln I / d ln V over the slope.
    Errors: `NoKnee` when there is none between the readings, or more than one.

    >>> x = np.linspace(0.0, 2.0, 9)
    >>> parabola = LogCurve(x, x**2 / 2.0, x)
    >>> round(crossing(parabola, "tangent45"), 9)
    1.0
    """
    found = search(curve, definition)
    if not found.places:
        raise NoKnee(_why_none(definition, found, exp(curve.first), exp(curve.last)))
    if len(found.places) > 1:
        listed = " and ".join(f"{exp(place):.4g} V" for place in found.places)
        raise NoKnee(f"more than one: the curve meets the definition at {listed}")
    return found.places[0]


def search(curve: LogCurve, definition: Definition) -> Found:
    """Return every upward crossing that the curve has, and on which side it begins.

    >>> x = np.linspace(0.0, 2.0, 9)
    >>> search(LogCurve(x, 2.0 * x, np.full(9, 2.0)), "tangent45")
    Found(places=(), starts_above=True)
    """
    last = curve.last - (log(VOLTAGE_STEP_RATIO) if definition == "iec" else 0.0)
    if last <= curve.first:
        return Found((), starts_above=False)
    x = np.linspace(curve.first, last, _SEARCH_COUNT)
    above = _excess(curve, definition, x) >= 0.0
    upward = np.flatnonzero(~above[:-1] & above[1:])
    places = tuple(_refined(curve, definition, float(x[k]), float(x[k + 1])) for k in upward)
    return Found(places, starts_above=bool(above[0]))


def near_count(voltage_v: Floats, count: Floats, knee_v: float) -> int:
    """Return how many readings stand between 0.8 and 1.25 of a knee.

    >>> near_count(np.array([70.0, 90.0, 110.0]), np.array([1, 1, 2]), 100.0)
    3
    """
    near = (voltage_v >= NEAR_LOW * knee_v) & (voltage_v <= NEAR_HIGH * knee_v)
    return int(count[near].sum())


def _excess(curve: LogCurve, definition: Definition, x: Floats) -> Floats:
    """How far the step or the slope at ln V = x is above what the definition asks for."""
    slope = RULES[definition].slope
    if slope is not None:
        return curve.slope(x) - slope
    step = np.minimum(x + log(VOLTAGE_STEP_RATIO), curve.last)
    return curve.ln_current(step) - curve.ln_current(x) - log(CURRENT_STEP_RATIO)


def _refined(curve: LogCurve, definition: Definition, low: float, high: float) -> float:
    x = np.linspace(low, high, 65)
    excess = _excess(curve, definition, x)
    k = int(np.argmax(excess >= 0.0))
    below, above = float(excess[k - 1]), float(excess[k])
    return float(x[k - 1] + (x[k] - x[k - 1]) * below / (below - above))


def _why_none(definition: Definition, found: Found, first_v: float, last_v: float) -> str:
    if found.starts_above:
        return f"the readings start too high: at {first_v:.4g} V the curve is already beyond this knee"
    if definition == "iec":
        return (
            f"not reached: up to {last_v:.4g} V no rise by 10 % in voltage raises the current by 50 %; "
            "take a higher voltage"
        )
    return f"not reached: up to {last_v:.4g} V the curve lies steeper than the tangent; take a higher voltage"
