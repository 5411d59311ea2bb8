"""The checks of IEEE relaying classes on the excitation curve: C, T, K and X."""

from __future__ import annotations

from ctcore.curve import Knee
from ctcore.findings import Finding, Standing
from ctcore.judgement.cells import Trouble
from ctcore.judgement.excitation_check import Check
from ctcore.judgement.excitation_curve import current_at, u_current_at
from ctcore.judgement.excitation_iec import u_emf_current
from ctcore.judgement.excitation_targets import Emf, class_voltage_v, emf_of
from ctcore.judgement.limit import Limit, shown
from ctcore.judgement.plate import row_of
from ctcore.standards.rows import RelayRow

_LEAKAGE = "The leakage flux of class T matters too: a ratio test at the limit current decides."


def relay(check: Check) -> list[Finding]:
    """C, T and K: exciting current at 20 times rated current into the standard burden; K also its knee."""
    row = row_of(check.accuracy)
    emf = emf_of(check.spot.scene, check.tap, check.accuracy)
    rule = "excitation.relay"
    if isinstance(emf, Trouble):
        return [check.trouble("i_excitation_at_emf_a", emf, rule=rule), *_knee_of_k(check, row)]
    if not isinstance(row, RelayRow) or row.excitation_percent is None:
        return [check.trouble("i_excitation_at_emf_a", Trouble("refer", "No limit is held."), rule=rule)]
    bound = row.excitation_percent / 100.0 * emf.limit_factor * emf.i_secondary_rated_a
    source = f"{row.source}; e.m.f. by phasors, {shown('v_excitation_v', emf.phasor_v)}"
    # The bound was seen; that the e.m.f. is the phasor sum is from memory.
    limit = Limit(rule, None, bound, source, "from memory")
    return [_at_emf(check, emf, limit, bound), *_knee_of_k(check, row)]


def _at_emf(check: Check, emf: Emf, limit: Limit, bound_a: float) -> Finding:
    quantity_id = "i_excitation_at_emf_a"
    current = current_at(check.view, emf.phasor_v)
    if current is None:
        return check.short_of(quantity_id, emf.phasor_v, limit)
    held_a = check.held(limit).high
    doubts = [_LEAKAGE] if check.accuracy.family == "t" else []
    doubts += _stricter(check, emf, bound_a if held_a is None else held_a)
    doubts += [*check.gap_doubts(emf.phasor_v, held_a), *emf.winding.doubts]
    return check.against(
        quantity_id, current, limit, u_expanded=u_emf_current(check, emf, current), doubts=tuple(doubts)
    )


def _stricter(check: Check, emf: Emf, bound_a: float) -> list[str]:
    """The second form of the e.m.f. in use, by adding sizes: passing only the first is to be referred."""
    if emf.arithmetic_v is None:
        return []
    volts = shown("v_excitation_v", emf.arithmetic_v)
    current = current_at(check.view, emf.arithmetic_v)
    if current is None:
        return [f"The stricter form of the e.m.f., {volts} by adding sizes, lies beyond the readings."]
    if current <= bound_a:
        return list(check.gap_doubts(emf.arithmetic_v, bound_a))
    figure = shown("i_excitation_at_emf_a", current)
    return [
        f"By the stricter form of the e.m.f., {volts} by adding sizes, it would be {figure}: over the limit."
    ]


def _knee_of_k(check: Check, row: object) -> list[Finding]:
    if not isinstance(row, RelayRow) or row.knee_percent is None:
        return []
    rating = class_voltage_v(check.spot.scene.core, check.tap, check.accuracy)
    source = f"{row.source}: knee at {row.knee_percent:g} % of {shown('v_excitation_v', rating)} or above"
    limit = Limit("excitation.knee_k", rating * row.knee_percent / 100.0, None, source, "from memory")
    return [_knee45(check, limit)]


def _knee45(check: Check, limit: Limit) -> Finding:
    knee = check.view.knees.get("tangent45")
    if isinstance(knee, Knee):
        u = None if knee.u_voltage_v is None else 2.0 * knee.u_voltage_v
        return check.against("v_knee_tangent45_v", knee.voltage_v, limit, u_expanded=u)
    reason = f"No 45° knee on this curve: {knee}."
    return check.trouble("v_knee_tangent45_v", Trouble("not tested", reason), rule=limit.rule)


def user_knee(check: Check) -> list[Finding]:
    """X: the user's own knee by 45 degrees and exciting current there."""
    ek, bound = check.accuracy.ek_v, check.accuracy.ie_a
    if ek is None:
        missing = Trouble("refer", "The plate does not state the knee of the user.")
        return [check.trouble("v_knee_tangent45_v", missing, rule="excitation.knee_x")]
    source = "the user's figures on the plate; knee by the 45° tangent, IEEE C57.13-2016"
    standing: Standing = "plate"
    findings = [_knee45(check, Limit("excitation.knee_x", ek, None, source, standing))]
    if bound is None:
        return findings
    current = current_at(check.view, ek)
    limit = Limit("excitation.ie_at_ek", None, bound, source, standing)
    if current is None:
        return [*findings, check.short_of("i_excitation_at_ek_a", ek, limit)]
    u = u_current_at(check.view, ek, current)
    gap = check.gap_doubts(ek, check.held(limit).high)
    return [*findings, check.against("i_excitation_at_ek_a", current, limit, u_expanded=u, doubts=gap)]
