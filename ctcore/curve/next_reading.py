"""The next voltage to take, so that all three knees become known to 1 %."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, floor, log10, sqrt

import numpy as np

from ctcore.curve.curve import Curve
from ctcore.curve.knee import (
    DEFINITIONS,
    ENOUGH_NEAR_COUNT,
    NEAR_HIGH,
    NEAR_LOW,
    Definition,
    near_count,
    search,
)
from ctcore.curve.readings import FALL_FACTOR, Floats
from ctcore.errors import NoKnee

KNOWN_REL = 0.01
_MOST_NEAR_COUNT = 25
# Practice: coarse steps while the current follows the voltage, fine ones once it runs ahead.
_COARSE_STEP, _FINE_STEP = 1.08, 1.04
_STEP_DOWN = 1.5
# Below this share of the last voltage a core that is still beyond its 45 degree point is taken to have none.
_LOWEST_SHARE = 0.1
_AGAIN_TEXT = "go back to zero, demagnetise and rise to it again"


@dataclass(frozen=True, slots=True)
class NextReading:
    """Voltage to take next in V, None when nothing is missing, and why.

    >>> NextReading(210.0, "the knee is not reached").voltage_v
    210.0
    """

    voltage_v: float | None
    reason_text: str


def next_voltage_v(curve: Curve) -> float | None:
    """Return the next voltage in V that brings all three knees to 1 %, or None when nothing is missing.

    Formula, range, errors and source: as `next_reading`, which gives the reason too.

    >>> volts = np.linspace(40.0, 240.0, 6)
    >>> next_voltage_v(Curve(volts, volts / 1000.0)) > 240.0
    True
    """
    return next_reading(curve).voltage_v


def next_reading(curve: Curve) -> NextReading:
    """Return the next voltage to take, with the reason.

    Formula: above the last reading while a knee is not reached; below the first where the curve starts beyond
    one; else into the widest gap between 0.8 and 1.25 of a knee that has fewer than five readings there or a
    standard uncertainty from scatter above 1 %. No current is ever extrapolated.

    Returns: a voltage in V rounded to three figures. It is a suggestion: the ceiling of the job comes first.
    Errors: none of its own; `Curve` has checked the readings.
    Source: common practice, no source.

    >>> volts = np.linspace(40.0, 240.0, 6)
    >>> next_reading(Curve(volts, volts / 1000.0)).reason_text
    'the IEC knee is not reached: rise further'
    """
    for advise in (_above, _below, _between_two, _near):
        advice = advise(curve)
        if advice is not None:
            return advice
    return NextReading(None, _nothing_text(curve))


def _above(curve: Curve) -> NextReading | None:
    missing = [d for d in DEFINITIONS if _is_short(curve, d)]
    if not missing:
        return None
    return NextReading(rise_v(curve), f"the {_NAMES[missing[0]]} knee is not reached: rise further")


def rise_v(curve: Curve) -> float:
    """Return the voltage in V of the next step up from the last reading.

    Formula: 8 % above it, 4 % once the current runs ahead of the voltage, rounded up to three figures.
    Range: any curve; what the knees need and what the ceiling allows is not looked at.
    Errors: none of its own; `Curve` has checked the readings.
    Source: common practice, no source.

    >>> rise_v(Curve([50.0, 75.0, 100.0], [0.01, 0.012, 0.014]))
    108.0
    """
    log_curve = curve.log_curve
    end_slope = float(log_curve.slope(np.array([log_curve.last]))[0])
    return _rounded_up(curve.voltage_last_v * (_COARSE_STEP if end_slope < 1.0 else _FINE_STEP))


def _is_short(curve: Curve, definition: Definition) -> bool:
    found = search(curve.log_curve, definition)
    return not found.places and not found.starts_above


def _below(curve: Curve) -> NextReading | None:
    lower = curve.voltage_first_v / _STEP_DOWN
    if lower < _LOWEST_SHARE * curve.voltage_last_v:
        return None
    for definition in DEFINITIONS:
        found = search(curve.log_curve, definition)
        if not found.places and found.starts_above:
            text = f"the readings start beyond the {_NAMES[definition]} knee: take a lower one; {_AGAIN_TEXT}"
            return NextReading(_rounded(lower), text)
    return None


def _between_two(curve: Curve) -> NextReading | None:
    for definition in DEFINITIONS:
        places = search(curve.log_curve, definition).places
        if len(places) > 1:
            voltage = _widest_gap(curve, exp(places[0]), exp(places[-1]))
            if voltage is not None:
                text = f"the curve meets the {_NAMES[definition]} definition more than once: {_AGAIN_TEXT}"
                return NextReading(voltage, text)
    return None


def _near(curve: Curve) -> NextReading | None:
    voltage, count = np.array(curve.readings.voltage_v), np.array(curve.readings.count)
    for definition in DEFINITIONS:
        found = search(curve.log_curve, definition)
        if len(found.places) != 1:
            continue
        knee_v = exp(found.places[0])
        near = near_count(voltage, count, knee_v)
        u_rel = _u_scatter_rel(curve, definition)
        if near >= ENOUGH_NEAR_COUNT and (u_rel is None or u_rel <= KNOWN_REL or near >= _MOST_NEAR_COUNT):
            continue
        wanted = _next_above(curve, knee_v) or _widest_gap(curve, NEAR_LOW * knee_v, NEAR_HIGH * knee_v)
        if wanted is None:
            continue
        known = "" if u_rel is None else f", known to {100.0 * u_rel:.1f} %"
        text = f"the {_NAMES[definition]} knee has {near} readings near it{known}"
        again = "" if wanted > curve.voltage_last_v else f"; {_AGAIN_TEXT}"
        return NextReading(wanted, text + again)
    return None


def _next_above(curve: Curve, knee_v: float) -> float | None:
    """A rise is free of a new take, so it comes first while it still counts as near the knee."""
    wanted = _rounded_up(curve.voltage_last_v * _FINE_STEP)
    return wanted if wanted <= NEAR_HIGH * knee_v else None


def _u_scatter_rel(curve: Curve, definition: Definition) -> float | None:
    """Relative standard uncertainty without the common part, which no further reading makes smaller."""
    try:
        knee = curve.knee(definition)
    except NoKnee:
        return None
    if knee.u_voltage_v is None:
        return None
    return sqrt(max((knee.u_voltage_v / knee.voltage_v) ** 2 - curve.u_voltage_scale_rel**2, 0.0))


def _widest_gap(curve: Curve, low_v: float, high_v: float) -> float | None:
    """Middle of the widest gap between neighbours that reaches into a range, where it can be told apart."""
    voltage: Floats = np.array(curve.readings.voltage_v)
    left, right = voltage[:-1], voltage[1:]
    middle = (left + right) / 2.0
    inside = (middle >= low_v) & (middle <= high_v)
    smallest = 2.0 * FALL_FACTOR * (curve.u_voltage_rel or 0.0)
    width = np.where(inside, right / left - 1.0, 0.0)
    widest = int(np.argmax(width))
    if width[widest] <= max(smallest, 1e-3):
        return None
    rounded = _rounded(float(middle[widest]))
    return rounded if left[widest] < rounded < right[widest] else float(middle[widest])


def _rounded(voltage: float) -> float:
    return float(f"{voltage:.3g}")


def _rounded_up(voltage: float) -> float:
    unit = 10.0 ** (floor(log10(voltage)) - 2)
    return float(f"{-floor(-voltage / unit + 1e-9) * unit:.3g}")


def _nothing_text(curve: Curve) -> str:
    if all(search(curve.log_curve, d).places for d in DEFINITIONS):
        if curve.is_smoothed:
            return "nothing is missing, or only better meters would tell more"
        return "five readings stand near each knee; the uncertainty is not stated"
    return "at the lowest voltages taken the curve is already beyond its 45 or 30 degree point"


_NAMES: dict[Definition, str] = {"iec": "IEC", "tangent45": "45 degree", "tangent30": "30 degree"}
