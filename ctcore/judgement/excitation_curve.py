"""The excitation curve of one take as it is plotted and judged: points kept, left out, and what they hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from math import log, sqrt

from ctcore.curve import DEFINITIONS, Curve, Knee, mark_reversed
from ctcore.errors import BadInput, NoKnee
from ctcore.job import Reading
from ctcore.judgement.cells import Trouble, number, unit_of, value_of
from ctcore.judgement.memory import kept_by_take
from ctcore.judgement.meter import floor_in_base, instruments_of
from ctcore.judgement.plate import tap_fed
from ctcore.procedure import Scene
from ctcore.takes import Take

# Practice: below half a percent the frequency is the rated one; common practice, no source.
FREQUENCY_ALIKE_REL = 0.005
# Practice: no meter tells a smaller voltage or current from zero; common practice, no source.
LEAST_POINT = 1e-12
_SQRT3 = sqrt(3.0)


@dataclass(frozen=True, slots=True)
class Point:
    """One reading of the curve: its row, volts and amperes."""

    row: str
    voltage_v: float
    current_a: float


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A row that is no point of the curve, and why."""

    row: str
    reason: str


@dataclass(frozen=True, slots=True)
class CurveView:
    """What a plot and a judgement need of one take.

    `kept` are the points of the curve in the order taken; `reversed` went down beyond the uncertainty of
    the volts and `struck` were struck out: both stand beside the curve. `left_out` are rows without two
    numbers. `curve` is None where no curve can be drawn, with `reason` saying why. `knees` holds a `Knee`,
    or the reason in words, by definition. Volts are at rated frequency, multiplied by `frequency_factor`.
    """

    kept: tuple[Point, ...]
    reversed: tuple[Point, ...]
    struck: tuple[Point, ...]
    curve: Curve | None
    reason: str
    knees: Mapping[str, Knee | str] = field(default_factory=dict)
    next_voltage_v: float | None = None
    next_reason_text: str = ""
    tap_id: str | None = None
    left_out: tuple[LeftOut, ...] = ()
    frequency_factor: float = 1.0
    u_voltage_rel: float | None = None
    u_current_rel: float | None = None
    readings: tuple[Reading, ...] = ()


@kept_by_take
def measured(scene: Scene, take: Take) -> CurveView:
    """The curve without the next voltage, which depends on what the class asks for."""
    factor = frequency_factor(scene, take)
    struck = _struck(take, factor)
    pairs, left_out, readings = _pairs(take, factor)
    u_voltage, u_current = (
        _u_rel(scene, [entry for entry in readings if entry.quantity_id == quantity_id])
        for quantity_id in ("v_excitation_v", "i_excitation_a")
    )
    marks = mark_reversed([point.voltage_v for point in pairs], u_voltage) if pairs else ()
    kept = tuple(point for point, fell in zip(pairs, marks, strict=True) if not fell)
    fell = tuple(point for point, mark in zip(pairs, marks, strict=True) if mark)
    curve, reason, knees = _fitted(
        tuple(point.voltage_v for point in kept),
        tuple(point.current_a for point in kept),
        u_voltage,
        u_current,
    )
    tap = tap_fed(scene.core, take)
    return CurveView(
        kept,
        fell,
        struck,
        curve,
        reason,
        knees,
        tap_id=tap.tap_id if tap else None,
        left_out=left_out,
        frequency_factor=factor,
        u_voltage_rel=u_voltage,
        u_current_rel=u_current,
        readings=readings,
    )


def frequency_factor(scene: Scene, take: Take) -> float:
    """Rated over measured frequency, as flux goes with V/f; 1 where the two are alike or one is not known."""
    found = value_of(take.method, "frequency_hz")
    rated = scene.job.frequency_rated_hz
    if found is None or min(found, rated) <= 0.0 or abs(found - rated) <= FREQUENCY_ALIKE_REL * rated:
        return 1.0
    return rated / found


def current_at(view: CurveView, voltage_v: float) -> float | None:
    """Exciting current at a voltage within the readings, or None."""
    if view.curve is None:
        return None
    try:
        return float(view.curve.current_a(voltage_v))
    except BadInput:
        return None


def voltage_at(view: CurveView, current_a: float) -> float | None:
    """Voltage at an exciting current within the readings, or None."""
    if view.curve is None:
        return None
    try:
        return float(view.curve.voltage_v(current_a))
    except BadInput:
        return None


def slope_at(view: CurveView, voltage_v: float) -> float:
    """d ln I / d ln V over one percent of voltage inside the readings."""
    if view.curve is None:
        return 0.0
    low = max(view.curve.voltage_first_v, voltage_v * 0.995)
    high = min(view.curve.voltage_last_v, voltage_v * 1.005)
    if high <= low:
        return 0.0
    return log(float(view.curve.current_a(high)) / float(view.curve.current_a(low))) / log(high / low)


def u_current_at(view: CurveView, voltage_v: float, current_a: float) -> float | None:
    """Expanded uncertainty of a current taken from the curve at a given voltage; None where not stated.

    Formula: 2 I sqrt(u_I^2 + (n u_V)^2), n the local slope; the smoothing is not counted in its favour.
    """
    if view.u_voltage_rel is None or view.u_current_rel is None:
        return None
    return (
        2.0 * current_a * sqrt(view.u_current_rel**2 + (slope_at(view, voltage_v) * view.u_voltage_rel) ** 2)
    )


@lru_cache(maxsize=512)
def _fitted(
    voltage_v: tuple[float, ...],
    current_a: tuple[float, ...],
    u_voltage: float | None,
    u_current: float | None,
) -> tuple[Curve | None, str, Mapping[str, Knee | str]]:
    """Curve and knees; kept by their points, since every key pressed elsewhere asks for them again."""
    try:
        # Assumption: how much of a specification is common to all readings is not stated, so that it is taken
        # in full from reading to reading and in full as common to all.
        curve = Curve(
            voltage_v,
            current_a,
            u_voltage_rel=u_voltage,
            u_current_rel=u_current,
            u_voltage_scale_rel=u_voltage or 0.0,
        )
        knees: Mapping[str, Knee | str] = {name: _knee(curve, name) for name in DEFINITIONS}
    except BadInput as refusal:
        if refusal.quantity == "readings":
            return None, "Three points at least make a curve.", {}
        return None, f"No curve: {refusal.quantity} {refusal.value!s}, {refusal.reason}.", {}
    return curve, "", knees


def _knee(curve: Curve, definition: str) -> Knee | str:
    try:
        return curve.knee(definition)
    except NoKnee as refusal:
        return refusal.reason


def _pairs(take: Take, factor: float) -> tuple[list[Point], tuple[LeftOut, ...], tuple[Reading, ...]]:
    points, left_out, readings = [], [], []
    for row in take.rows:
        if row.struck:
            continue
        volts, amperes = number(row, "v_excitation_v"), number(row, "i_excitation_a")
        trouble = next((found for found in (volts, amperes) if isinstance(found, Trouble)), None)
        if trouble is not None or isinstance(volts, Trouble) or isinstance(amperes, Trouble):
            left_out.append(LeftOut(row.row, trouble.text if trouble else ""))
        elif volts.value < LEAST_POINT or amperes.value < LEAST_POINT:
            left_out.append(LeftOut(row.row, "A point of zero or less has no place on equal decades."))
        else:
            points.append(Point(row.row, volts.value * factor, amperes.value))
            readings += [volts.reading, amperes.reading]
    return points, tuple(left_out), tuple(readings)


def _struck(take: Take, factor: float) -> tuple[Point, ...]:
    """Struck rows with the two numbers that stood before."""
    found = []
    for row in take.rows:
        if row.struck:
            volts, amperes = (
                _last_number(row.cell(name).readings) for name in ("v_excitation_v", "i_excitation_a")
            )
            if volts is not None and amperes is not None:
                found.append(Point(row.row, volts * factor, amperes))
    return tuple(found)


def _last_number(readings: tuple[Reading, ...]) -> float | None:
    for reading in reversed(readings):
        if reading.value_text is not None and not reading.struck:
            try:
                return float(reading.value_text)
            except ValueError:
                return None
    return None


def _u_rel(scene: Scene, readings: list[Reading]) -> float | None:
    """Relative standard uncertainty of the meter that took these readings; the largest of several meters.

    The floor of a specification counts at the middle reading: near the knee it weighs less.
    """
    if not readings:
        return None
    middle = sorted(abs(float(entry.value_text or 0.0)) for entry in readings)[len(readings) // 2]
    found = []
    for instrument in instruments_of(scene.job, readings):
        if instrument is None or (instrument.spec_reading_percent is None and instrument.spec_floor is None):
            return None
        floor = floor_in_base(instrument, unit_of(readings[0].quantity_id))
        if floor is None or middle <= 0.0:
            return None
        found.append(((instrument.spec_reading_percent or 0.0) / 100.0 + floor / middle) / _SQRT3)
    worst = max(found)
    return worst if 0.0 < worst <= 0.5 else None
