"""What a curve gives beside its verdicts: e.m.f.s of the class, factors at the burden, inductance."""

from __future__ import annotations

import math
from functools import lru_cache

from ctcore import burden, limiting
from ctcore.curve import Curve, unsaturated
from ctcore.errors import BadInput
from ctcore.job import Tap
from ctcore.judgement.burden import CONNECTED, measured
from ctcore.judgement.cells import Trouble
from ctcore.judgement.excitation_curve import CurveView
from ctcore.judgement.excitation_targets import Emf, e_al_v, emf_of
from ctcore.judgement.plate import classes_of, row_of
from ctcore.nameplate import AccuracyClass
from ctcore.procedure import Derived, Scene
from ctcore.standards import power_factor_of_test
from ctcore.standards.rows import ProtectionRow

SECURITY_PERCENT = 10.0


def derive(scene: Scene, tap: Tap, view: CurveView) -> list[Derived]:
    """Class e.m.f.s and operating factors of every class of the plate, then the unsaturated inductance."""
    classes = classes_of(scene.core)
    found = []
    if not isinstance(classes, Trouble):
        for accuracy in classes:
            found += _of_class(scene, tap, view, accuracy)
    if view.curve is not None:
        l_h, at_v = _inductance(view.curve, scene.job.frequency_rated_hz)
        note = f"Where V/I is greatest, {at_v:.4g} V; loss is not told apart."
        u_v, u_i = view.u_voltage_rel, view.u_current_rel
        u = None if u_v is None or u_i is None else 2.0 * l_h * math.hypot(u_v, u_i)
        found.append(Derived("", "l_unsaturated_h", l_h, u, note=note))
    once = {entry.quantity_id: entry for entry in reversed(found)}
    return [entry for entry in found if once[entry.quantity_id] is entry]


def _of_class(scene: Scene, tap: Tap, view: CurveView, accuracy: AccuracyClass) -> list[Derived]:
    e_al = e_al_v(scene, tap, accuracy)
    if isinstance(e_al, float):
        return [Derived("", "emf_class_v", e_al, note=f"E_al of {accuracy.designation}.")]
    if not (accuracy.limit_factor or accuracy.security_factor or accuracy.c_voltage_v is not None):
        return []
    emf = emf_of(scene, tap, accuracy)
    if isinstance(emf, Trouble):
        return []
    u_r = emf.winding.u_75degc_ohm
    u = None if u_r is None else emf.limit_factor * emf.i_secondary_rated_a * u_r
    found = [Derived("", "emf_class_v", emf.phasor_v, u, note=f"Of {accuracy.designation}, by phasors.")]
    if emf.arithmetic_v is not None:
        found.append(Derived("", "emf_class_arithmetic_v", emf.arithmetic_v, note="By adding sizes."))
    if accuracy.output_va is not None:
        found += _factors(scene, tap, view, accuracy, emf)
    return found


def connected_burden(scene: Scene, tap: Tap) -> tuple[complex, str] | None:
    """The burden that the core works into, complex ohm, and how it is known: measured, else as designed."""
    take = scene.of_record("burden")
    if take is not None:
        found = measured(scene, take, CONNECTED, tap)
        if not isinstance(found, Trouble):
            return found[0], "burden as measured"
    output = scene.core.burden_connected_va
    if output is None:
        return None
    try:
        factor = scene.core.burden_connected_power_factor_ratio or 1.0
        return complex(burden.from_rating(output, tap.i_secondary_rated_a, factor)), "burden as designed"
    except BadInput:
        return None


def _factors(scene: Scene, tap: Tap, view: CurveView, accuracy: AccuracyClass, emf: Emf) -> list[Derived]:
    """The limit or security factor that the core reaches with the connected burden: by plate and by curve."""
    connected = connected_burden(scene, tap)
    if connected is None or accuracy.output_va is None or view.curve is None:
        return []
    z, known = connected
    r_ohm, i_rated = emf.winding.r_75degc_ohm or 0.0, emf.i_secondary_rated_a
    name = "security factor" if accuracy.security_factor is not None else "accuracy limit factor"
    rated = complex(burden.from_rating(accuracy.output_va, i_rated, power_factor_of_test(accuracy.output_va)))
    by_curve = _by_curve(view.curve, i_rated, r_ohm, z, limit_percent(accuracy))
    try:
        by_plate = float(limiting.operating_factor_from_plate(emf.limit_factor, r_ohm, rated, z))
    except BadInput:
        return []
    note = f"{name} of {accuracy.designation}, {known}"
    reached = isinstance(by_curve, float)
    return [
        Derived("", "operating_factor_plate_ratio", by_plate, note=f"{note}."),
        Derived(
            "",
            "operating_factor_curve_ratio",
            by_curve if isinstance(by_curve, float) else None,
            note=f"{note}." if reached else f"{note}: {by_curve}.",
        ),
    ]


def limit_percent(accuracy: AccuracyClass) -> float:
    """Exciting current that a class allows at its e.m.f., in percent of limit factor times rated current."""
    row = row_of(accuracy)
    if isinstance(row, ProtectionRow) and row.composite_error_percent is not None:
        return row.composite_error_percent
    return SECURITY_PERCENT


@lru_cache(maxsize=256)
def _by_curve(
    curve: Curve, i_rated_a: float, r_ohm: float, z_ohm: complex, limit_percent: float
) -> float | str:
    try:
        return limiting.operating_factor(curve, i_rated_a, r_ohm, z_ohm, limit_percent)
    except BadInput as refusal:
        return refusal.reason


@lru_cache(maxsize=256)
def _inductance(curve: Curve, f_hz: float) -> tuple[float, float]:
    found = unsaturated(curve, f_hz)
    return found.unsaturated_h, found.unsaturated_at_v
