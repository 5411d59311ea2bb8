"""The checks of IEC classes on the excitation curve: PX and PXR, 5P and 10P, the security factor."""

from __future__ import annotations

import math

from ctcore.curve import Knee
from ctcore.findings import Finding
from ctcore.judgement.cells import Trouble
from ctcore.judgement.excitation_check import Check, current_with_drop_a, gap_words, wide_gap
from ctcore.judgement.excitation_curve import current_at, slope_at, u_current_at, voltage_at
from ctcore.judgement.excitation_targets import Emf, emf_of
from ctcore.judgement.limit import Limit, shown
from ctcore.judgement.plate import is_whole_winding, row_of
from ctcore.standards.rows import ProtectionRow

STEP_VOLTAGE_RATIO = 1.1
STEP_CURRENT_RATIO = 1.5
SECURITY_REL = 0.10
_KNEE_SOURCE = "IEC 61869-2:2012, 3.4.215 to 3.4.217"
LOW_LEAKAGE = "That this is a low-leakage core is not stated; without it a pass by the curve proves nothing."
_LEAKS = "The plate does not make this a low-leakage core; a pass by the curve proves nothing."
_SECTION = "A section of a tapped winding seldom has low leakage; a pass by the curve proves nothing."


def knee_point(check: Check) -> list[Finding]:
    """PX and PXR: exciting current at rated Ek, its rise over the next 10 %, and the knee if reached."""
    ek = check.accuracy.ek_v
    if ek is None:
        missing = Trouble("refer", "The plate does not state Ek.")
        return [check.trouble("v_knee_iec_v", missing, rule="excitation.ek")]
    return [*_ie_at_ek(check, ek), *_step(check, ek), *_knee(check, ek)]


def _ie_at_ek(check: Check, ek_v: float) -> list[Finding]:
    bound = check.accuracy.ie_a
    if bound is None:
        missing = Trouble("refer", "The plate does not state Ie, which the class limits at Ek.")
        return [check.trouble("i_excitation_at_ek_a", missing, rule="excitation.ie_at_ek")]
    percent = check.accuracy.ie_at_ek_percent or 100.0
    at_v = ek_v * percent / 100.0
    source = f"Ie on the plate at {shown('v_excitation_v', at_v)}; {_KNEE_SOURCE}"
    limit = Limit("excitation.ie_at_ek", None, bound, source, "plate")
    current = current_at(check.view, at_v)
    if current is None:
        return [check.short_of("i_excitation_at_ek_a", at_v, limit)]
    u = u_current_at(check.view, at_v, current)
    gap = check.gap_doubts(at_v, check.held(limit).high)
    return [check.against("i_excitation_at_ek_a", current, limit, u_expanded=u, doubts=gap)]


def _step(check: Check, ek_v: float) -> list[Finding]:
    quantity_id, rule = "i_excitation_step_ratio", "excitation.step"
    high_v = STEP_VOLTAGE_RATIO * ek_v
    low, high = current_at(check.view, ek_v), current_at(check.view, high_v)
    if low is None or high is None:
        return [
            check.not_reached(
                quantity_id, high_v if low is not None or ek_v >= check.first_v else ek_v, rule=rule
            )
        ]
    limit = Limit(rule, None, STEP_CURRENT_RATIO, _KNEE_SOURCE, "seen")
    u_v, u_i = check.view.u_voltage_rel, check.view.u_current_rel
    u = None
    if u_v is not None and u_i is not None:
        slopes = slope_at(check.view, ek_v) ** 2 + slope_at(check.view, high_v) ** 2
        u = 2.0 * high / low * (2.0 * u_i**2 + slopes * u_v**2) ** 0.5
    gap = _gap_of_step(check, ek_v, high_v, check.held(limit).high)
    return [check.against(quantity_id, high / low, limit, u_expanded=u, doubts=gap)]


def _gap_of_step(check: Check, ek_v: float, high_v: float, bound_ratio: float | None) -> tuple[str, ...]:
    """That the rise is only drawn over a wide gap, and not bounded by the neighbours on either side."""
    gaps = [(place, wide_gap(check.view, place)) for place in (ek_v, high_v)]
    wide = [gap for _, gap in gaps if gap is not None]
    if not wide:
        return ()
    (_, below), (_, above) = gaps
    low_a = below[0].current_a if below is not None else current_at(check.view, ek_v)
    high_a = above[1].current_a if above is not None else current_at(check.view, high_v)
    if bound_ratio is not None and low_a and high_a and high_a / low_a <= bound_ratio:
        return ()
    return (gap_words(wide[0]),)


def _knee(check: Check, ek_v: float) -> list[Finding]:
    knee = check.view.knees.get("iec")
    if not isinstance(knee, Knee):
        return []
    u = None if knee.u_voltage_v is None else 2.0 * knee.u_voltage_v
    limit = Limit("excitation.knee", ek_v, None, f"Ek on the plate; {_KNEE_SOURCE}", "plate")
    return [check.against("v_knee_iec_v", knee.voltage_v, limit, u_expanded=u)]


def with_limit_factor(check: Check) -> list[Finding]:
    """5P, 10P and their R classes: composite error at E_ALF by the indirect method."""
    quantity_id, rule = "composite_error_percent", "excitation.composite"
    row = row_of(check.accuracy)
    emf = emf_of(check.spot.scene, check.tap, check.accuracy)
    if isinstance(emf, Trouble):
        return [check.trouble(quantity_id, emf, rule=rule)]
    if not isinstance(row, ProtectionRow) or row.composite_error_percent is None:
        return [
            check.trouble(quantity_id, Trouble("refer", "No limit of composite error is held."), rule=rule)
        ]
    source = f"{row.source} and 7.2.6.203, indirect; e.m.f. {shown('v_excitation_v', emf.phasor_v)}"
    # The bound was seen in print, the quotient it is compared through was not.
    limit = Limit(rule, None, row.composite_error_percent, source, "from memory")
    percent_per_a = 100.0 / (emf.limit_factor * emf.i_secondary_rated_a)
    current = current_at(check.view, emf.phasor_v)
    if current is None:
        return [check.short_of(quantity_id, emf.phasor_v, limit, per_a=percent_per_a)]
    held = check.held(limit).high
    bound = row.composite_error_percent if held is None else held
    doubts = leakage_doubts(check)
    doubts += _with_drop(check, emf, percent_per_a, bound)
    doubts += [*check.gap_doubts(emf.phasor_v, bound / percent_per_a), *emf.winding.doubts]
    u = u_emf_current(check, emf, current)
    return [
        check.against(
            quantity_id,
            current * percent_per_a,
            limit,
            u_expanded=None if u is None else u * percent_per_a,
            doubts=tuple(doubts),
        )
    ]


def leakage_doubts(check: Check) -> list[str]:
    """Why a pass by the curve alone proves nothing: leakage flux does not show in it."""
    core = check.spot.scene.core
    found = [] if core.low_leakage else [LOW_LEAKAGE if core.low_leakage is None else _LEAKS]
    return found if is_whole_winding(core, check.tap) else [*found, _SECTION]


def u_emf_current(check: Check, emf: Emf, current_a: float) -> float | None:
    """Expanded uncertainty of the current at an e.m.f. that itself rests on the winding resistance."""
    u_curve = u_current_at(check.view, emf.phasor_v, current_a)
    if u_curve is None or emf.winding.u_75degc_ohm is None:
        return None
    u_volts_rel = emf.limit_factor * emf.i_secondary_rated_a * emf.winding.u_75degc_ohm / emf.phasor_v
    return float((u_curve**2 + (current_a * slope_at(check.view, emf.phasor_v) * u_volts_rel) ** 2) ** 0.5)


def _with_drop(check: Check, emf: Emf, percent_per_a: float, bound_percent: float) -> list[str]:
    """Whether the drop of the exciting current in the winding, counted in full, would turn the verdict."""
    current = current_with_drop_a(check.view, emf.phasor_v, emf)
    if current is None:
        return ["With the drop in the winding counted in full, the readings end too early."]
    if current * percent_per_a <= bound_percent:
        return []
    figure = shown("composite_error_percent", current * percent_per_a)
    return [f"With the drop in the winding counted in full it would be {figure}; the angle would decide."]


def security(check: Check) -> list[Finding]:
    """Measuring classes with FS: the exciting current reaches 10 % of FS I_sr below E_FS."""
    quantity_id, rule = "v_at_fs_current_v", "excitation.security"
    emf = emf_of(check.spot.scene, check.tap, check.accuracy)
    if isinstance(emf, Trouble):
        return [check.trouble(quantity_id, emf, rule=rule)]
    source = "IEC 61869-2:2012, 5.6.201 and 7.2.6.202, indirect"
    limit = Limit(rule, None, emf.phasor_v, source, "from memory")
    wanted_a = SECURITY_REL * emf.limit_factor * emf.i_secondary_rated_a
    volts = voltage_at(check.view, wanted_a)
    if volts is None:
        return [_security_beyond(check, limit, wanted_a, emf)]
    held = check.held(limit).high
    gap = wide_gap(check.view, volts)
    decided = gap is None or (held is not None and gap[1].voltage_v <= held)
    doubts = () if decided or gap is None else (gap_words(gap),)
    return [
        check.against(
            quantity_id,
            volts,
            limit,
            u_expanded=_u_security(check, volts, emf),
            doubts=(*doubts, *emf.winding.doubts),
            note=f"Exciting current {shown('i_excitation_a', wanted_a)}.",
        )
    ]


def _security_beyond(check: Check, limit: Limit, wanted_a: float, emf: Emf) -> Finding:
    """The current wanted lies outside the readings, or the curve does not tell where it is."""
    quantity_id, held = "v_at_fs_current_v", check.held(limit).high
    currents = check.view.curve.readings.current_a if check.view.curve else ()
    name = shown("i_excitation_a", wanted_a)
    if not currents or held is None:
        return check.not_reached(quantity_id, emf.phasor_v, rule=limit.rule)
    if max(currents) < wanted_a and held <= check.last_v:
        note = f"At the last reading the current is still below {name}: the volts are higher than this."
        return check.against(quantity_id, max(check.last_v, held * (1.0 + 1e-12)), limit, note=note)
    if min(currents) < wanted_a <= max(currents):
        falls = Trouble("refer", "The current does not rise all along this curve.")
        return check.trouble(quantity_id, falls, rule=limit.rule)
    if min(currents) >= wanted_a and check.first_v <= held:
        note = f"Already at the first reading the current is over {name}: the volts are lower than this."
        return check.against(quantity_id, check.first_v, limit, doubts=emf.winding.doubts, note=note)
    return check.not_reached(quantity_id, emf.phasor_v, rule=limit.rule)


def _u_security(check: Check, volts: float, emf: Emf) -> float | None:
    """Expanded uncertainty of a voltage at a given current, with that of the e.m.f. it is compared with."""
    u_v, u_i, u_r = check.view.u_voltage_rel, check.view.u_current_rel, emf.winding.u_75degc_ohm
    slope = slope_at(check.view, volts)
    if u_v is None or u_i is None or u_r is None or slope <= 0.0:
        return None
    u_curve = 2.0 * volts * math.hypot(u_v, u_i / slope)
    return math.hypot(u_curve, emf.limit_factor * emf.i_secondary_rated_a * u_r)
