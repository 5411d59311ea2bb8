"""Comparison of two curves, and why some curves are not to be compared."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import isclose

from ctcore.curve.curve import Curve
from ctcore.errors import BadInput

# 0.5 % of frequency moves the voltage by 0.5 %, less than two curves of one core usually differ.
_SAME_FREQUENCY_REL = 0.005


@dataclass(frozen=True, slots=True)
class TakenAs:
    """How a curve was taken: response of both meters, frequency in Hz, and the terminals in use.

    >>> TakenAs("mean", "rms", 50.0, "S1-S3").frequency_hz
    50.0
    """

    voltage_meter_text: str | None
    current_meter_text: str | None
    frequency_hz: float | None
    tap_text: str | None


@dataclass(frozen=True, slots=True)
class Deviation:
    """One voltage, with how far the current there, and the voltage at that current, are from the other curve.

    Percent of the other curve; positive when this curve is higher; None outside the other curve.
    """

    voltage_v: float
    current_percent: float
    voltage_percent: float | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """Deviations at the readings of one curve, or the reasons why there are none."""

    refusals_text: tuple[str, ...]
    deviations: tuple[Deviation, ...]


def refusals(one: TakenAs, other: TakenAs) -> tuple[str, ...]:
    """Return the reasons why two curves are not to be compared; empty when nothing stands against it.

    Practice: a mean-sensing and a true-r.m.s. meter differ by several percent on the distorted voltage above
    the knee; flux goes as V/f; another tap has other turns.
    Source: IEC 61869-2:2012, 7.2.6.202 and 203, for the meters (seen); arithmetic.

    >>> refusals(TakenAs("mean", "rms", 50.0, "S1-S2"), TakenAs("rms", "rms", 50.0, "S1-S2"))
    ('the voltage meters are unlike: mean and rms',)
    """
    rows: tuple[tuple[str, str, object, object], ...] = (
        ("the voltage meters are unlike", "voltage meter", one.voltage_meter_text, other.voltage_meter_text),
        ("the current meters are unlike", "current meter", one.current_meter_text, other.current_meter_text),
        ("the frequencies are unlike", "frequency", one.frequency_hz, other.frequency_hz),
        ("the taps are unlike", "tap", one.tap_text, other.tap_text),
    )
    found: list[str] = []
    for unlike_text, name, mine, theirs in rows:
        if mine is None or theirs is None:
            found.append(f"the {name} of {'both curves' if mine is theirs else 'one curve'} is not known")
        elif not _alike(mine, theirs):
            found.append(f"{unlike_text}: {mine} and {theirs}")
    return tuple(found)


def compare(curve: Curve, other: Curve, taken: TakenAs, other_taken: TakenAs) -> Comparison:
    """Return how far a curve is from another, reading by reading, within the range of both.

    Formula: current: 100 (I / I_other - 1) at equal voltage; voltage: 100 (V / V_other - 1) at equal current.
    Errors: none; where curves are not to be compared, or share no voltage, the result holds the reasons.
    Source: arithmetic.

    >>> as_taken = TakenAs("mean", "rms", 50.0, "S1-S2")
    >>> one = Curve([10.0, 20.0, 40.0], [0.011, 0.022, 0.044])
    >>> other = Curve([10.0, 20.0, 40.0], [0.010, 0.020, 0.040])
    >>> round(compare(one, other, as_taken, as_taken).deviations[0].current_percent, 6)
    10.0
    """
    against = refusals(taken, other_taken)
    if against:
        return Comparison(against, ())
    shared = [
        (voltage, current)
        for voltage, current in zip(curve.readings.voltage_v, curve.readings.current_a, strict=True)
        if other.voltage_first_v <= voltage <= other.voltage_last_v
    ]
    if not shared:
        return Comparison(("the curves share no voltage",), ())
    return Comparison((), tuple(_deviation(voltage, current, other) for voltage, current in shared))


def _alike(mine: object, theirs: object) -> bool:
    if isinstance(mine, float) and isinstance(theirs, float):
        return isclose(mine, theirs, rel_tol=_SAME_FREQUENCY_REL)
    return mine == theirs


def _deviation(voltage: float, current: float, other: Curve) -> Deviation:
    at_equal_voltage = 100.0 * (current / other.current_a(voltage) - 1.0)
    v_other = inside(other.voltage_v, current)
    at_equal_current = None if v_other is None else 100.0 * (voltage / v_other - 1.0)
    return Deviation(voltage, at_equal_voltage, at_equal_current)


def inside(read: Callable[[float], float], at: float) -> float | None:
    """Return what a curve reads at a place, or None where it does not go.

    >>> inside(Curve([10.0, 20.0, 40.0], [0.01, 0.02, 0.04]).current_a, 50.0) is None
    True
    """
    try:
        return read(at)
    except BadInput:
        return None
