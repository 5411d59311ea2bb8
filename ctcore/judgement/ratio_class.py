"""Ratio and phase against the limits of the class, where the conditions of those limits are met."""

from __future__ import annotations

import math

from ctcore import ratio
from ctcore.errors import BadInput
from ctcore.findings import Finding, Standing
from ctcore.job import Tap
from ctcore.judgement.cells import Trouble
from ctcore.judgement.limit import Limit, against_limit, overridden, shown, standing_of
from ctcore.judgement.meter import calibration_doubts
from ctcore.judgement.plate import LOWER_TAP, class_applies, classes_of, row_of
from ctcore.judgement.ratio_conditions import burden_reasons, snapped_percent
from ctcore.judgement.ratio_reading import RatioReading
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.nameplate import AccuracyClass
from ctcore.standards import correction_limits_at, error_limits_at
from ctcore.standards.rows import MeasuringRow, MeteringRow, ProtectionRow, RelayRow

_NOT_TABULATED = "Not tabulated: no limit at this current, the looser neighbour is shown."


def judge_class(spot: Spot, tap: Tap, found: RatioReading) -> list[Finding]:
    """Findings of the ratio for every class on the plate."""
    classes = classes_of(spot.scene.core)
    quantity_id = _measured(found)
    if isinstance(classes, Trouble):
        return [troubled(spot, quantity_id, classes, rule="ratio.class")]
    return [finding for accuracy in classes for finding in _judge_one(spot, tap, found, accuracy)]


def _judge_one(spot: Spot, tap: Tap, found: RatioReading, accuracy: AccuracyClass) -> list[Finding]:
    row = row_of(accuracy)
    if isinstance(row, ProtectionRow) and row.turns_ratio_error_percent is not None:
        return [_turns(spot, tap, found, row)]
    if found.turns_ratio is not None:
        return [_turns_only(spot, found, accuracy)]
    if isinstance(row, MeasuringRow):
        return _measuring(spot, tap, found, accuracy)
    if isinstance(row, MeteringRow):
        return _metering(spot, tap, found, accuracy)
    if isinstance(row, ProtectionRow):
        return _protection(spot, tap, found, accuracy, row)
    if isinstance(row, RelayRow) and row.ratio_error_percent is not None:
        return [_relay(spot, tap, found, accuracy, row)]
    text = f"Class {accuracy.designation} is judged by its excitation curve; the ratio is shown."
    return [_shown_only(spot, found, text, rule="ratio.relay_class")]


def _relay(spot: Spot, tap: Tap, found: RatioReading, accuracy: AccuracyClass, row: RelayRow) -> Finding:
    """C, T and K: the ratio error at rated current and standard burden; the curve judges the rest."""
    percent, error, bound = found.percent_current, found.ratio_error_percent, row.ratio_error_percent
    if percent is None or error is None or bound is None:
        return _shown_only(spot, found, "The current of the reading is not recorded.", rule="ratio.relay")
    indicative = [*_lower_tap(spot, tap), *burden_reasons(spot, tap, accuracy)]
    if snapped_percent(percent, [100.0]) != 100.0:
        indicative.append(f"The limit holds at rated current, the reading is at {_percent(percent)} of it.")
    source = f"{row.source}, class {row.designation} at rated current"
    return against_limit(
        spot,
        "ratio_error_percent",
        error,
        Limit("ratio.relay", -bound, bound, source, standing_of(row.ratio_error_tag)),
        u_expanded=found.u_error_percent,
        doubts=calibration_doubts(spot.scene, found.readings),
        indicative=indicative,
    )


def _measured(found: RatioReading) -> str:
    return "turns_ratio_error_percent" if found.turns_ratio is not None else "ratio_error_percent"


def _shown_only(spot: Spot, found: RatioReading, text: str, *, rule: str) -> Finding:
    quantity_id = _measured(found)
    value = found.turns_ratio_error_percent if found.turns_ratio is not None else found.ratio_error_percent
    figure = "" if value is None else f"{shown(quantity_id, value)}. "
    return told(
        spot,
        quantity_id,
        "refer",
        figure + text,
        rule=rule,
        value=value,
        u_expanded=found.u_error_percent,
        reason=text,
    )


def _turns_only(spot: Spot, found: RatioReading, accuracy: AccuracyClass) -> Finding:
    name = accuracy.designation
    text = f"By voltage a turns ratio is found; class {name} limits the error at current and burden."
    return _shown_only(spot, found, text, rule="ratio.turns_only")


def _percent(percent: float) -> str:
    return shown("i_percent_rated_percent", percent)


def _lower_tap(spot: Spot, tap: Tap) -> tuple[str, ...]:
    return () if class_applies(spot.scene.core, tap) else (LOWER_TAP,)


def _turns(spot: Spot, tap: Tap, found: RatioReading, row: ProtectionRow) -> Finding:
    """PX and PXR: the turns ratio error, its uncertainty widened by what the winding may have dropped."""
    error, bound = found.turns_ratio_error_percent, row.turns_ratio_error_percent
    if error is None or bound is None:
        text = f"Class {row.designation} limits the turns ratio; by current the ratio error is found."
        return _shown_only(spot, found, text, rule="ratio.needs_turns")
    limit = Limit("ratio.turns", -bound, bound, row.source, standing_of(row.tag))
    bound = _half_width(overridden(spot, limit), bound)
    indicative = list(_lower_tap(spot, tap))
    u = found.u_error_percent
    note = ""
    if found.drop_rel is None:
        indicative.append(
            "The drop in the winding is not known: note the exciting current, and test the resistance."
        )
    else:
        drop_percent = 100.0 * found.drop_rel
        # The e.m.f. lies between U - I Rct and a little above U: a rectangular half-width of the whole drop.
        u = None if u is None else math.hypot(u, 2.0 * drop_percent / math.sqrt(3.0))
        if drop_percent > bound / 3.0:
            indicative.append(
                f"The winding drops up to {drop_percent:.2g} %, over a third of the limit. Take fewer volts."
            )
        elif drop_percent + abs(error) > bound >= abs(error):
            indicative.append(
                f"The drop in the winding, up to {drop_percent:.2g} %, could hide a passed limit."
            )
    return against_limit(
        spot,
        "turns_ratio_error_percent",
        error,
        limit,
        u_expanded=u,
        indicative=indicative,
        doubts=calibration_doubts(spot.scene, found.readings),
        note=note,
    )


def _half_width(held: Limit, otherwise: float) -> float:
    """The nearer end of the limit judged by, from zero: what the drop in the winding is held against."""
    return min((abs(end) for end in (held.low, held.high) if end is not None), default=otherwise)


def _measuring(spot: Spot, tap: Tap, found: RatioReading, accuracy: AccuracyClass) -> list[Finding]:
    row = row_of(accuracy)
    percent = found.percent_current
    if not isinstance(row, MeasuringRow) or percent is None:
        return [_shown_only(spot, found, "The current of the reading is not recorded.", rule="ratio.error")]
    top = accuracy.extended_percent
    tabulated = [entry.percent_current for entry in row.limits] + ([top] if top else [])
    try:
        at = error_limits_at(accuracy.class_name, snapped_percent(percent, tabulated), extended_percent=top)
    except BadInput as refusal:
        return [_shown_only(spot, found, f"{refusal.reason}.", rule="ratio.error")]
    if at is None:
        return [_no_limit_there(spot, found, accuracy, percent)]
    source = f"{at.source}, class {accuracy.class_name} at {_percent(percent)} of rated current"
    note = "" if at.tabulated else _NOT_TABULATED
    bounds = (at.ratio_error_percent, at.phase_displacement_arcmin, 0.0)
    indicative = (*_lower_tap(spot, tap), *burden_reasons(spot, tap, accuracy))
    return _both(
        spot, found, bounds, source=source, standing=standing_of(at.tag), indicative=indicative, note=note
    )


def _no_limit_there(spot: Spot, found: RatioReading, accuracy: AccuracyClass, percent: float) -> Finding:
    text = f"Class {accuracy.designation} has no limit at {_percent(percent)} of rated current."
    return told(
        spot,
        "ratio_error_percent",
        "not applicable",
        text,
        rule="ratio.error",
        value=found.ratio_error_percent,
    )


def _protection(
    spot: Spot, tap: Tap, found: RatioReading, accuracy: AccuracyClass, row: ProtectionRow
) -> list[Finding]:
    """5P, 10P and TP: one pair of limits, at rated current and rated burden."""
    percent, bound = found.percent_current, row.ratio_error_percent
    if bound is None or percent is None:
        return [_shown_only(spot, found, "The current of the reading is not recorded.", rule="ratio.error")]
    indicative = [*_lower_tap(spot, tap), *burden_reasons(spot, tap, accuracy)]
    if snapped_percent(percent, [100.0]) != 100.0:
        indicative.append(f"The limit holds at rated current, the reading is at {_percent(percent)} of it.")
    bounds = (bound, row.phase_displacement_arcmin, row.phase_centre_arcmin)
    source = f"{row.source}, class {row.designation}"
    return _both(spot, found, bounds, source=source, standing=standing_of(row.tag), indicative=indicative)


def _both(
    spot: Spot,
    found: RatioReading,
    bounds: tuple[float, float | None, float],
    *,
    source: str,
    standing: Standing,
    indicative: list[str] | tuple[str, ...],
    note: str = "",
) -> list[Finding]:
    """Ratio error and phase displacement against (ratio, phase, centre of phase)."""
    error_bound, phase_bound, centre = bounds
    doubts = calibration_doubts(spot.scene, found.readings)
    findings = []
    if found.ratio_error_percent is not None:
        limit = Limit("ratio.error", -error_bound, error_bound, source, standing)
        findings.append(
            against_limit(
                spot,
                "ratio_error_percent",
                found.ratio_error_percent,
                limit,
                u_expanded=found.u_error_percent,
                doubts=doubts,
                indicative=indicative,
                note=note,
            )
        )
    if phase_bound is None:
        return findings
    if found.phase_displacement_arcmin is None:
        text = "Phase displacement is not recorded, and the class limits it."
        return [*findings, told(spot, "phase_displacement_arcmin", "not tested", text, rule="ratio.phase")]
    limit = Limit("ratio.phase", centre - phase_bound, centre + phase_bound, source, standing)
    phase = against_limit(
        spot,
        "phase_displacement_arcmin",
        found.phase_displacement_arcmin,
        limit,
        u_expanded=found.u_phase_arcmin,
        doubts=doubts,
        indicative=(*indicative, *found.phase_reasons),
        note=" ".join(part for part in (found.phase_note, note) if part),
    )
    return [*findings, phase]


def _metering(spot: Spot, tap: Tap, found: RatioReading, accuracy: AccuracyClass) -> list[Finding]:
    """IEEE metering: RCF and TCF each within the limits, which is the parallelogram."""
    row = row_of(accuracy)
    percent, error = found.percent_current, found.ratio_error_percent
    if not isinstance(row, MeteringRow) or percent is None or error is None:
        return [_shown_only(spot, found, "The current of the reading is not recorded.", rule="ratio.rcf")]
    factor = accuracy.rating_factor or 1.0
    tabulated = [entry.percent_current for entry in row.limits] + [100.0 * factor]
    try:
        at = correction_limits_at(
            accuracy.class_name, snapped_percent(percent, tabulated), rating_factor=max(factor, 1.0)
        )
    except BadInput as refusal:
        return [_shown_only(spot, found, f"{refusal.reason}.", rule="ratio.rcf")]
    if at is None:
        return [_no_limit_there(spot, found, accuracy, percent)]
    source = f"{at.source}, class {accuracy.class_name} at {_percent(percent)} of rated current"
    note = "" if at.tabulated else _NOT_TABULATED
    indicative = (*_lower_tap(spot, tap), *burden_reasons(spot, tap, accuracy))
    doubts = calibration_doubts(spot.scene, found.readings)
    rcf = float(ratio.rcf_from_ratio_error(error))
    u_rcf = None if found.u_error_percent is None else rcf * rcf * found.u_error_percent / 100.0
    limit = Limit("ratio.rcf", at.factor_low, at.factor_high, source, standing_of(at.tag))
    first = against_limit(
        spot, "rcf_ratio", rcf, limit, u_expanded=u_rcf, indicative=indicative, doubts=doubts, note=note
    )
    phase = found.phase_displacement_arcmin
    if phase is None:
        text = "Phase displacement is not recorded, and the class limits TCF."
        return [first, told(spot, "tcf_ratio", "not tested", text, rule="ratio.tcf")]
    u_tcf = None
    if u_rcf is not None and found.u_phase_arcmin is not None:
        u_tcf = math.hypot(u_rcf, found.u_phase_arcmin / ratio.TCF_ARCMIN)
    # The limits were seen in print; that a minute of phase is 1/2600 of TCF is from memory.
    limit = Limit("ratio.tcf", at.factor_low, at.factor_high, source, "from memory")
    second = against_limit(
        spot,
        "tcf_ratio",
        float(ratio.tcf(rcf, phase)),
        limit,
        u_expanded=u_tcf,
        indicative=(*indicative, *found.phase_reasons),
        doubts=doubts,
        note=" ".join(part for part in (found.phase_note, note) if part),
    )
    return [first, second]
