"""Signs of remanence: a curve before and one after demagnetising."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np

from ctcore.curve.curve import Curve
from ctcore.errors import NoKnee

_LOW_SHARE = 0.5
_GRID_COUNT = 40
_COVERAGE_FACTOR = 2.0


@dataclass(frozen=True, slots=True)
class RemanenceRule:
    """What counts as changed, scatter of the meters aside, and where that comes from."""

    current_change_rel: float
    voltage_change_rel: float
    source_text: str


RULE = RemanenceRule(0.10, 0.02, "common practice, no source")


@dataclass(frozen=True, slots=True)
class RemanenceSign:
    """Whether the core was magnetised; None when the curves do not tell. Changes in percent of after."""

    was_magnetised: bool | None
    current_change_low_percent: float | None
    voltage_change_high_percent: float | None
    reason_text: str


def remanence(before: Curve, after: Curve) -> RemanenceSign:
    """Tell from the curves before and after demagnetising whether the core was magnetised.

    Formula: mean change of current at equal voltage below half the IEC knee, and mean change of voltage at
    equal current above the knee. Remanence moves the low end alone; a change at the high end is another
    fault, or another meter.

    Range: one core, one tap, like meters and frequency (see `comparison.refusals`).
    Errors: none; what the curves do not tell is None with the reason.
    Source: IEC 61869-2:2012, Annex 2B.2.1, for demagnetising before each test (seen); limits common practice,
    no source.

    >>> volts = np.linspace(40.0, 480.0, 23)
    >>> after = 0.02 * (volts / 400.0) ** 0.6 + 0.004 * (volts / 400.0) ** 18
    >>> before = after * (1.0 + 0.5 * np.exp(-volts / 80.0))
    >>> remanence(Curve(volts, before), Curve(volts, after)).was_magnetised
    True
    """
    try:
        knee = after.knee("iec")
    except NoKnee as problem:
        return RemanenceSign(None, None, None, f"the curve after has no IEC knee: {problem.reason}")
    low = _low_change(before, after, knee.voltage_v)
    high = _high_change(before, after, knee.current_a)
    if low is None or high is None:
        end = "below half the knee" if low is None else "above the knee"
        return RemanenceSign(None, _percent(low), _percent(high), f"the curves share too little {end}")
    limit_low, limit_high = _limits(before, after)
    if abs(high) > limit_high:
        reason = "the curves differ above the knee too: remanence alone does not do that"
        return RemanenceSign(None, _percent(low), _percent(high), reason)
    if abs(low) > limit_low:
        reason = "only the low end moved by demagnetising"
        return RemanenceSign(True, _percent(low), _percent(high), reason)
    return RemanenceSign(False, _percent(low), _percent(high), "demagnetising moved nothing beyond scatter")


def _low_change(before: Curve, after: Curve, knee_v: float) -> float | None:
    first = max(before.voltage_first_v, after.voltage_first_v)
    last = min(before.voltage_last_v, after.voltage_last_v, _LOW_SHARE * knee_v)
    if first >= last:
        return None
    voltage = np.linspace(first, last, _GRID_COUNT)
    return float(np.mean(before.current_a(voltage) / after.current_a(voltage)) - 1.0)


def _high_change(before: Curve, after: Curve, knee_a: float) -> float | None:
    last = min(before.current_a(before.voltage_last_v), after.current_a(after.voltage_last_v))
    first = max(knee_a, before.current_a(before.voltage_first_v))
    if first >= last:
        return None
    current = np.geomspace(first, last * (1.0 - 1e-12), _GRID_COUNT)
    return float(np.mean(before.voltage_v(current) / after.voltage_v(current)) - 1.0)


def _limits(before: Curve, after: Curve) -> tuple[float, float]:
    """Limits on the relative changes of current and voltage: the rule, or scatter where that is wider."""
    stated = [u for c in (before, after) for u in (c.u_voltage_rel, c.u_current_rel) if u is not None]
    scatter = _COVERAGE_FACTOR * sqrt(sum(u**2 for u in stated))
    return max(RULE.current_change_rel, scatter), max(RULE.voltage_change_rel, scatter)


def _percent(change: float | None) -> float | None:
    return None if change is None else 100.0 * change
