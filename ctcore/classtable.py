"""The whole table of a class, calculated: its currents times its burdens, each cell against its limit."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from ctcore import burden, ratio, transfer
from ctcore.checks import not_negative, not_negative_scalar, positive_scalar, scalar
from ctcore.errors import BadInput
from ctcore.nameplate import AccuracyClass
from ctcore.standards import (
    burden_range,
    correction_limits_at,
    error_limits_at,
    power_factor_of_test,
    row,
    standard_burden,
)
from ctcore.standards.rows import MeasuringRow, MeteringRow, ProtectionRow

NOTE = "calculated, not a substitute for the direct test"


@dataclass(frozen=True, slots=True)
class Winding:
    """What the calculation needs of the transformer: rated ratio, turns in use, rated current, resistance."""

    k_rated_ratio: float
    ns_over_np_ratio: float
    i_secondary_rated_a: float
    r_winding_ohm: float


@dataclass(frozen=True, slots=True)
class Range:
    """The lowest and highest that a quantity can be; both equal where the angle of the current is known."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of the table: where, what is expected there, its limits, and the verdict with its reason.

    `factor` is the transformer correction factor of the IEEE classes, `rcf` their ratio correction factor;
    limits that the class does not have are None. The e.m.f. is that at which the curve was read.
    """

    percent_current: float
    burden_text: str
    emf_v: float
    ratio_error_percent: Range | None
    phase_displacement_arcmin: Range | None
    rcf: Range | None
    factor: Range | None
    ratio_limit_percent: float | None
    phase_limit_arcmin: float | None
    factor_limits: Range | None
    verdict: str
    reason: str
    source: str
    tag: str


Exciting = Callable[[float], complex]


@dataclass(frozen=True, slots=True)
class _Place:
    percent_current: float
    burden_text: str
    z_ohm: complex


@dataclass(frozen=True, slots=True)
class _Expected:
    error: Range
    phase: Range
    rcf: Range
    factor: Range
    emf_v: float


def class_table(
    accuracy: AccuracyClass,
    winding: Winding,
    exciting_a: Exciting,
    *,
    angle_known: bool,
    f_hz: float = 50.0,
) -> tuple[Cell, ...]:
    """Return the whole table of a measuring, metering or protection class from the exciting current.

    Formula: errors of `ctcore.transfer` at each tabulated current with each burden of the class: 25 and 100
    % of
    rated output (50 and 100 % for 3 and 5; the plate's own range; 1 VA floor; extended current), each named
    burden (IEEE; also at the rating-factor current), rated burden and current (5P to 10PR). Without the angle
    of the exciting current the extremes x = I_e/I_s: ratio (k_r/n)/(1 +- x) - 1, phase +- asin x.
    Args: class with its output or burdens; the winding; `exciting_a` gives the exciting current in A at an
    e.m.f. in V, as a phasor on the e.m.f. (I_w - j I_m) where the angle is known, else its size;
    rated frequency in Hz.
    Result: one `Cell` for each current and burden, verdict "within", "outside", "refer" (extremes on both
    sides
    of a limit) or "not tested" (e.m.f. outside the readings).
    Valid as the indirect method; to be called calculated, not a substitute for the direct test.
    Raises BadInput for a class without a table, or without output or burden on its plate, or an impossible
    winding.
    Source: IEC 61869-2:2012, Tables 201 to 205 and Annex 2E; IEEE C57.13-2016.

    >>> from ctcore.nameplate import parse_class
    >>> cells = class_table(
    ...     parse_class("0.5 15 VA"), Winding(600, 600, 5.0, 0.2), lambda emf_v: 0.001 * emf_v,
    ...     angle_known=False)
    >>> len(cells), {cell.verdict for cell in cells}
    (8, {'within'})
    """
    positive_scalar("frequency", f_hz)
    positive_scalar("rated transformation ratio", winding.k_rated_ratio)
    positive_scalar("turns ratio", winding.ns_over_np_ratio)
    positive_scalar("rated secondary current", winding.i_secondary_rated_a)
    not_negative("winding resistance", scalar("winding resistance", winding.r_winding_ohm))
    places = _places(accuracy, winding, f_hz)
    return tuple(_cell(accuracy, winding, exciting_a, place, angle_known) for place in places)


def _places(accuracy: AccuracyClass, winding: Winding, f_hz: float) -> list[_Place]:
    found = row(accuracy.class_name)
    if isinstance(found, MeteringRow):
        return _places_of_metering(accuracy, winding, found, f_hz)
    if accuracy.output_va is None:
        raise BadInput("rated output", None, f"{accuracy.designation} has no rated output on its plate")
    if isinstance(found, MeasuringRow):
        spread = burden_range(found.designation, accuracy.output_va, output_low_va=accuracy.output_low_va)
        outputs = dict.fromkeys((spread.low_va, spread.high_va))
        currents = [limit.percent_current for limit in found.limits]
        if accuracy.extended_percent is not None:
            currents = [*currents[:-1], accuracy.extended_percent]
    else:
        outputs, currents = {accuracy.output_va: None}, [100.0]
    rated_a = winding.i_secondary_rated_a
    return [
        _Place(percent, f"{output:g} VA", _impedance(output, rated_a))
        for output in outputs
        for percent in currents
    ]


def _places_of_metering(
    accuracy: AccuracyClass, winding: Winding, found: MeteringRow, f_hz: float
) -> list[_Place]:
    if not accuracy.burden_names:
        raise BadInput("standard burden", None, f"{accuracy.designation} has no burden on its plate")
    currents = [limit.percent_current for limit in found.limits]
    if accuracy.rating_factor is not None and accuracy.rating_factor > 1.0:
        currents.append(100.0 * accuracy.rating_factor)
    rated_a = winding.i_secondary_rated_a
    return [
        _Place(percent, name, standard_burden(name, f_hz=f_hz, i_secondary_rated_a=rated_a).z_ohm)
        for name in accuracy.burden_names
        for percent in currents
    ]


def _impedance(output_va: float, i_secondary_rated_a: float) -> complex:
    return complex(burden.from_rating(output_va, i_secondary_rated_a, power_factor_of_test(output_va)))


def _cell(
    accuracy: AccuracyClass, winding: Winding, exciting_a: Exciting, place: _Place, angle_known: bool
) -> Cell:
    secondary = winding.i_secondary_rated_a * place.percent_current / 100.0
    emf = secondary * abs(winding.r_winding_ohm + place.z_ohm)
    try:
        exciting = exciting_a(emf)
    except BadInput as refusal:
        return _not_tested(accuracy, place, emf, f"{emf:.4g} V: {refusal.reason}")
    if angle_known:
        expected = _with_angle(winding, secondary, place.z_ohm, complex(exciting), emf)
    else:
        size = not_negative_scalar("exciting current", exciting)
        if size >= secondary:
            return _not_tested(accuracy, place, emf, "the exciting current is as large as the secondary's")
        expected = _without_angle(winding, secondary, size, emf)
    return _judged(accuracy, place, expected)


def _with_angle(
    winding: Winding, secondary_a: float, z_ohm: complex, exciting: complex, emf_v: float
) -> _Expected:
    admittance = exciting / emf_v
    result = transfer.errors(
        winding.k_rated_ratio,
        winding.ns_over_np_ratio,
        secondary_a,
        winding.r_winding_ohm,
        z_ohm,
        admittance,
    )
    error, phase = float(result.ratio_error_percent), float(result.phase_displacement_arcmin)
    factor, rcf = float(ratio.tcf(result.rcf, phase)), float(result.rcf)
    return _Expected(Range(error, error), Range(phase, phase), Range(rcf, rcf), Range(factor, factor), emf_v)


def _without_angle(winding: Winding, secondary_a: float, exciting_a: float, emf_v: float) -> _Expected:
    share = exciting_a / secondary_a
    turns = winding.k_rated_ratio / winding.ns_over_np_ratio
    error = Range(100.0 * (turns / (1.0 + share) - 1.0), 100.0 * (turns / (1.0 - share) - 1.0))
    reach = math.asin(share) * ratio.ARCMIN_PER_RAD
    rcf = Range((1.0 - share) / turns, (1.0 + share) / turns)
    factor = Range(rcf.low - reach / ratio.TCF_ARCMIN, rcf.high + reach / ratio.TCF_ARCMIN)
    return _Expected(error, Range(-reach, reach), rcf, factor, emf_v)


def _judged(accuracy: AccuracyClass, place: _Place, expected: _Expected) -> Cell:
    limits = _limits(accuracy, place.percent_current)
    checks: list[tuple[str, Range, float, float]] = []
    if limits.ratio is not None:
        checks.append(("ratio error", expected.error, -limits.ratio, limits.ratio))
    if limits.phase is not None:
        checks.append(("phase displacement", expected.phase, -limits.phase, limits.phase))
    if limits.factor is not None:
        checks.append(("RCF", expected.rcf, limits.factor.low, limits.factor.high))
        checks.append(("TCF", expected.factor, limits.factor.low, limits.factor.high))
    verdicts = [(_verdict(spread, low, high), name) for name, spread, low, high in checks]
    worst = min((verdict for verdict, _ in verdicts), key=("outside", "refer", "within").index)
    names = ", ".join(name for verdict, name in verdicts if verdict == worst)
    reasons = {
        "within": NOTE,
        "outside": f"{names} beyond the limit; {NOTE}",
        "refer": f"{names} not decided without the angle of the exciting current; {NOTE}",
    }
    ieee = limits.factor is not None
    return Cell(
        place.percent_current,
        place.burden_text,
        expected.emf_v,
        expected.error,
        expected.phase,
        expected.rcf if ieee else None,
        expected.factor if ieee else None,
        limits.ratio,
        limits.phase,
        limits.factor,
        worst,
        reasons[worst],
        limits.source,
        limits.tag,
    )


def _verdict(spread: Range, low: float, high: float) -> str:
    if low <= spread.low and spread.high <= high:
        return "within"
    return "outside" if spread.high < low or spread.low > high or spread.low == spread.high else "refer"


@dataclass(frozen=True, slots=True)
class _Limits:
    ratio: float | None
    phase: float | None
    factor: Range | None
    source: str
    tag: str


def _limits(accuracy: AccuracyClass, percent_current: float) -> _Limits:
    found = row(accuracy.class_name)
    name = found.designation
    rating_factor, extended = accuracy.rating_factor or 1.0, accuracy.extended_percent
    if isinstance(found, MeteringRow) and (
        by_factor := correction_limits_at(name, percent_current, rating_factor=rating_factor)
    ):
        spread = Range(by_factor.factor_low, by_factor.factor_high)
        return _Limits(None, None, spread, by_factor.source, by_factor.tag)
    if isinstance(found, MeasuringRow) and (
        at := error_limits_at(name, percent_current, extended_percent=extended)
    ):
        return _Limits(at.ratio_error_percent, at.phase_displacement_arcmin, None, at.source, at.tag)
    if isinstance(found, ProtectionRow) and found.composite_error_percent is not None:
        return _Limits(
            found.ratio_error_percent, found.phase_displacement_arcmin, None, found.source, found.tag
        )
    raise BadInput("accuracy class", accuracy.designation, "this class has no table of errors by current")


def _not_tested(accuracy: AccuracyClass, place: _Place, emf_v: float, reason: str) -> Cell:
    limits = _limits(accuracy, place.percent_current)
    return Cell(
        place.percent_current,
        place.burden_text,
        emf_v,
        None,
        None,
        None,
        None,
        limits.ratio,
        limits.phase,
        limits.factor,
        "not tested",
        reason,
        limits.source,
        limits.tag,
    )
