"""Classes with a limit of remanence, and the TP classes, which limit the peak of the exciting current."""

from __future__ import annotations

import math
from functools import lru_cache

from ctcore import limiting
from ctcore.curve import Curve
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.job import Tap
from ctcore.judgement.cells import Number, Trouble, number
from ctcore.judgement.excitation_check import Check, gap_words, wide_gap_of
from ctcore.judgement.excitation_curve import CurveView
from ctcore.judgement.excitation_targets import e_al_v, winding_at
from ctcore.judgement.limit import Limit, shown
from ctcore.judgement.meter import standard_uncertainty
from ctcore.judgement.plate import row_of
from ctcore.judgement.spot import told
from ctcore.nameplate import AccuracyClass
from ctcore.procedure import Scene
from ctcore.standards.proof import CHECK
from ctcore.standards.rows import ProtectionRow
from ctcore.takes import Take
from ctcore.uncertainty import Budget, Line

PEAK = "i_excitation_peak_at_eal_a"
REMANENCE = "remanence_read_percent"
_PEAK_RULE, _REMANENCE_RULE = "excitation.peak", "excitation.remanence"
_SOURCE = "IEC 61869-2:2012, Annex 2B"


def transient(check: Check) -> list[Finding]:
    """TPX, TPY and TPZ: the peak of the exciting current at E_al, by readings of the peak alone."""
    return [*_peak(check), *remanence(check)]


def _peak(check: Check) -> list[Finding]:
    found = peak_points(check.spot.take, check.view)
    if len(found) < 3:
        text = (
            f"Class {check.accuracy.designation} limits the peak of the exciting current at E_al; "
            f"peak readings are wanted, and these are r.m.s. values. Limit from memory: {CHECK}."
        )
        return [
            told(check.spot, PEAK, "refer", text, rule=_PEAK_RULE, source=_SOURCE, standing="from memory")
        ]
    wanted = _e_al_and_limit(check)
    if isinstance(wanted, Trouble):
        return [check.trouble(PEAK, wanted, rule=_PEAK_RULE)]
    e_al, bound = wanted
    source = f"{_SOURCE}; E_al {shown('v_excitation_v', e_al)}"
    limit = Limit(_PEAK_RULE, None, bound, source, "from memory")
    curve = _peak_curve(tuple(found))
    if curve is None:
        return [check.trouble(PEAK, Trouble("refer", "The peak readings make no curve."), rule=_PEAK_RULE)]
    held_a = check.held(limit).high
    if e_al > curve.voltage_last_v:
        last = found[-1][1]
        if held_a is not None and last > held_a:
            note = f"Already at {shown('v_highest_v', curve.voltage_last_v)}, below E_al."
            return [check.against(PEAK, last, limit, note=note)]
        return [check.not_reached(PEAK, e_al, rule=_PEAK_RULE)]
    if e_al < curve.voltage_first_v:
        return [check.not_reached(PEAK, e_al, rule=_PEAK_RULE)]
    gap = wide_gap_of(curve, e_al)
    decided = gap is None or (held_a is not None and gap[1].current_a <= held_a)
    winding = winding_at(check.spot.scene, check.tap)
    doubts = (
        *(() if gap is None or decided else (gap_words(gap),)),
        *(() if isinstance(winding, Trouble) else winding.doubts),
    )
    budget = peak_budget(check.spot.scene, check.spot.take, check.tap, check.view, check.accuracy)
    u = None if budget is None else budget.u_expanded
    return [check.against(PEAK, float(curve.current_a(e_al)), limit, u_expanded=u, doubts=doubts)]


def peak_budget(
    scene: Scene, take: Take, tap: Tap, view: CurveView, accuracy: AccuracyClass
) -> Budget | None:
    """The budget of the peak exciting current at E_al; None where an instrument states nothing."""
    curve, e_al = _peak_curve(tuple(peak_points(take, view))), e_al_v(scene, tap, accuracy)
    winding, u_peak_rel = winding_at(scene, tap), _u_peak_rel(scene, take, view)
    if curve is None or isinstance(e_al, Trouble) or isinstance(winding, Trouble):
        return None
    if view.u_voltage_rel is None or u_peak_rel is None or winding.u_75degc_ohm is None:
        return None
    low, high = max(curve.voltage_first_v, e_al * 0.995), min(curve.voltage_last_v, e_al * 1.005)
    if not curve.voltage_first_v <= e_al <= curve.voltage_last_v:
        return None
    current = float(curve.current_a(e_al))
    slope = math.log(float(curve.current_a(high)) / float(curve.current_a(low))) / math.log(high / low)
    per_ohm = (accuracy.kssc or 0.0) * (accuracy.ktd or 0.0) * tap.i_secondary_rated_a
    lines = (
        Line("peak meter, share of the reading", 1.0, u_peak_rel, current, "specification", "rectangular"),
        Line("voltmeter, share of the reading", 1.0, view.u_voltage_rel, current * slope, "specification",
             "rectangular"),
        Line("winding resistance at 75 °C", winding.r_75degc_ohm or 0.0, winding.u_75degc_ohm / 2.0,
             current * slope / e_al * per_ohm, "resistance test"),
    )  # fmt: skip
    return Budget("peak exciting current at Eal", "A", current, lines)


def _u_peak_rel(scene: Scene, take: Take, view: CurveView) -> float | None:
    """The largest relative standard uncertainty of the peaks; None where one states none."""
    found = []
    for point in view.kept:
        peak = number(take.row(point.row), "i_excitation_peak_a")
        if isinstance(peak, Number) and peak.value > 0.0:
            u = standard_uncertainty(scene, peak.reading, peak.value)
            found.append(None if u is None else u / peak.value)
    known = [u for u in found if u is not None]
    return max(known) if known and len(known) == len(found) else None


def peak_points(take: Take, view: CurveView) -> list[tuple[float, float]]:
    """Volts and peak amperes of the rows of the curve where the peak was read."""
    pairs = []
    for point in view.kept:
        peak = number(take.row(point.row), "i_excitation_peak_a")
        if isinstance(peak, Number) and peak.value > 0.0:
            pairs.append((point.voltage_v, peak.value))
    return pairs


@lru_cache(maxsize=64)
def _peak_curve(points: tuple[tuple[float, float], ...]) -> Curve | None:
    try:
        return Curve([volts for volts, _ in points], [amperes for _, amperes in points])
    except BadInput:
        return None


def _e_al_and_limit(check: Check) -> tuple[float, float] | Trouble:
    """E_al in V r.m.s. and the peak that the class permits there in A."""
    one, i_rated = check.accuracy, check.tap.i_secondary_rated_a
    e_al = e_al_v(check.spot.scene, check.tap, one)
    if isinstance(e_al, Trouble):
        return e_al
    if one.kssc is None or one.ktd is None:
        return Trouble("refer", "The plate does not state Kssc and Ktd.")
    if one.class_name != "TPZ":
        return e_al, limiting.peak_exciting_current_a(one.kssc, i_rated)
    if one.ts_s is None:
        return Trouble("refer", "The plate does not state Ts.")
    f_hz = check.spot.scene.job.frequency_rated_hz
    try:
        bound = limiting.peak_exciting_current_tpz_a(one.kssc, one.ktd, i_rated, ts_s=one.ts_s, f_hz=f_hz)
    except BadInput as refusal:
        return Trouble("refer", f"No limit: {refusal.quantity}, {refusal.reason}.")
    return e_al, bound


def remanence(check: Check) -> list[Finding]:
    """PR, PXR, TPY and TPZ: the remanence factor, where a d.c. method gave it."""
    row = row_of(check.accuracy)
    if not isinstance(row, ProtectionRow) or row.remanence_percent is None:
        return []
    limit = Limit(_REMANENCE_RULE, None, row.remanence_percent, row.source, "from memory")
    found = number(check.spot.take.method, REMANENCE)
    if isinstance(found, Trouble):
        text = (
            f"Class {check.accuracy.designation} limits remanence to {row.remanence_percent:g} %; "
            "alternating readings do not give it, a d.c. method does."
        )
        verdict = found.verdict if found.verdict == "refer" else "not tested"
        return [check.trouble(REMANENCE, Trouble(verdict, text), rule=_REMANENCE_RULE)]
    u = standard_uncertainty(check.spot.scene, found.reading, found.value)
    return [check.against(REMANENCE, found.value, limit, u_expanded=None if u is None else 2.0 * u)]
