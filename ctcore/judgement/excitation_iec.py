"""The checks of IEC classes on the excitation curve: PX and PXR, 5P and 10P, the security factor, TP."""

from __future__ import annotations

import math

from ctcore.curve import Knee
from ctcore.findings import Finding, Standing
from ctcore.judgement.cells import Trouble
from ctcore.judgement.excitation_check import Check, current_with_drop_a
from ctcore.judgement.excitation_curve import current_at, slope_at, u_current_at, voltage_at
from ctcore.judgement.excitation_targets import Emf, emf_of
from ctcore.judgement.limit import Limit, shown
from ctcore.judgement.plate import row_of
from ctcore.judgement.spot import told
from ctcore.standards.rows import ProtectionRow

STEP_VOLTAGE_RATIO = 1.1
STEP_CURRENT_RATIO = 1.5
SECURITY_REL = 0.10
_KNEE_SOURCE = "IEC 61869-2:2012, 3.4.215 to 3.4.217"
_LOW_LEAKAGE = "That this is a low-leakage core is not stated; without it a pass by the curve proves nothing."


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
        return []
    percent = check.accuracy.ie_at_ek_percent or 100.0
    at_v = ek_v * percent / 100.0
    source = f"Ie on the plate at {shown('v_excitation_v', at_v)}; {_KNEE_SOURCE}"
    limit = Limit("excitation.ie_at_ek", None, bound, source, "plate")
    current = current_at(check.view, at_v)
    if current is None:
        return [_short_of_current(check, at_v, limit, "i_excitation_at_ek_a")]
    u = u_current_at(check.view, at_v, current)
    return [check.against("i_excitation_at_ek_a", current, limit, u_expanded=u)]


def _short_of_current(check: Check, at_v: float, limit: Limit, quantity_id: str) -> Finding:
    """Readings that end below the voltage wanted: outside all the same where the current is over already."""
    last = current_at(check.view, check.last_v)
    if at_v > check.last_v and last is not None and limit.high is not None and last > limit.high:
        note = f"Already at {shown('v_highest_v', check.last_v)}, short of {shown('v_highest_v', at_v)}."
        return check.against(
            quantity_id, last, limit, u_expanded=u_current_at(check.view, check.last_v, last), note=note
        )
    return check.not_reached(quantity_id, at_v, rule=limit.rule)


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
    return [check.against(quantity_id, high / low, limit, u_expanded=u)]


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
        last = current_at(check.view, check.last_v)
        if (
            emf.phasor_v > check.last_v
            and last is not None
            and last * percent_per_a > row.composite_error_percent
        ):
            note = f"Already at {shown('v_highest_v', check.last_v)}, below that e.m.f."
            return [check.against(quantity_id, last * percent_per_a, limit, note=note)]
        return [check.not_reached(quantity_id, emf.phasor_v, rule=rule)]
    doubts = [] if check.spot.scene.core.low_leakage else [_LOW_LEAKAGE]
    doubts += _with_drop(check, emf, percent_per_a, row.composite_error_percent)
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
    current_name = shown("i_excitation_a", wanted_a)
    if volts is not None:
        u = _u_security(check, volts, emf)
        return [
            check.against(quantity_id, volts, limit, u_expanded=u, note=f"Exciting current {current_name}.")
        ]
    at_emf = current_at(check.view, emf.phasor_v)
    last = current_at(check.view, check.last_v)
    if at_emf is not None and last is not None and last < wanted_a:
        note = (
            f"At the last reading the current is still below {current_name}: the volts are higher than this."
        )
        return [check.against(quantity_id, max(check.last_v, emf.phasor_v * (1.0 + 1e-12)), limit, note=note)]
    first = current_at(check.view, check.first_v)
    if first is not None and first >= wanted_a and check.first_v <= emf.phasor_v:
        note = (
            f"Already at the first reading the current is over {current_name}: the volts are lower than this."
        )
        return [check.against(quantity_id, check.first_v, limit, note=note)]
    if last is not None and last >= wanted_a:
        falls = Trouble("refer", "The current does not rise all along this curve.")
        return [check.trouble(quantity_id, falls, rule=rule)]
    return [check.not_reached(quantity_id, emf.phasor_v, rule=rule)]


def _u_security(check: Check, volts: float, emf: Emf) -> float | None:
    """Expanded uncertainty of a voltage at a given current, with that of the e.m.f. it is compared with."""
    u_v, u_i, u_r = check.view.u_voltage_rel, check.view.u_current_rel, emf.winding.u_75degc_ohm
    slope = slope_at(check.view, volts)
    if u_v is None or u_i is None or u_r is None or slope <= 0.0:
        return None
    u_curve = 2.0 * volts * math.hypot(u_v, u_i / slope)
    return math.hypot(u_curve, emf.limit_factor * emf.i_secondary_rated_a * u_r)


def transient(check: Check) -> list[Finding]:
    """TPX, TPY and TPZ limit the peak of the exciting current; r.m.s. readings do not give it."""
    text = (
        f"Class {check.accuracy.designation} limits the peak of the exciting current at E_al; "
        "peak readings are wanted, and these are r.m.s. values."
    )
    return [
        told(
            check.spot,
            "i_excitation_at_emf_a",
            "refer",
            text,
            rule="excitation.peak",
            source="IEC 61869-2:2012, Annex 2B",
            standing=_MEMORY,
        )
    ]


_MEMORY: Standing = "from memory"
