"""Uncertainty budgets of what is read off an excitation curve."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from ctcore.curve import Knee, unsaturated
from ctcore.job import Tap
from ctcore.judgement.cells import Trouble, number
from ctcore.judgement.excitation_curve import CurveView, current_at, measured, slope_at, voltage_at
from ctcore.judgement.excitation_iec import SECURITY_REL, STEP_VOLTAGE_RATIO
from ctcore.judgement.excitation_targets import Emf, emf_of
from ctcore.judgement.excitation_transient import PEAK, REMANENCE, peak_budget
from ctcore.judgement.meter import standard_uncertainty
from ctcore.judgement.plate import classes_of, tap_fed
from ctcore.nameplate import AccuracyClass
from ctcore.procedure import Scene
from ctcore.takes import Take
from ctcore.uncertainty import Budget, Line

KNEES = {"v_knee_iec_v": "iec", "v_knee_tangent45_v": "tangent45", "v_knee_tangent30_v": "tangent30"}


@dataclass(frozen=True, slots=True)
class _Asked:
    """The curve and the class that a value belongs to, with the relative scatter of both meters."""

    scene: Scene
    tap: Tap
    view: CurveView
    accuracy: AccuracyClass
    u_voltage_rel: float
    u_current_rel: float

    def emf(self) -> Emf | None:
        """The e.m.f. of the class with a winding whose uncertainty is known."""
        found = emf_of(self.scene, self.tap, self.accuracy)
        return None if isinstance(found, Trouble) or found.winding.u_75degc_ohm is None else found

    def ammeter(self, sensitivity: float, name: str = "ammeter, share of the reading") -> Line:
        """What the ammeter brings: `sensitivity` is what the result moves for the whole of a reading."""
        return Line(name, 1.0, self.u_current_rel, sensitivity, "specification", "rectangular")

    def voltmeter(self, sensitivity: float, name: str = "voltmeter, share of the reading") -> Line:
        """What the voltmeter brings, likewise."""
        return Line(name, 1.0, self.u_voltage_rel, sensitivity, "specification", "rectangular")

    def winding(self, emf: Emf, sensitivity: float) -> Line:
        """What the winding resistance brings by way of the e.m.f.; `sensitivity` per volt of it.

        The e.m.f. is taken to follow the resistance in full, as if the burden were resistive: the safe side.
        """
        per_ohm = emf.limit_factor * emf.i_secondary_rated_a
        u_ohm = (emf.winding.u_75degc_ohm or 0.0) / 2.0
        value = emf.winding.r_75degc_ohm or 0.0
        return Line("winding resistance at 75 °C", value, u_ohm, sensitivity * per_ohm, "resistance test")


def curve_budget(scene: Scene, take: Take, row: str, quantity_id: str) -> Budget | None:
    """The budget of a value of the whole curve; None where its instruments state nothing."""
    view, tap = measured(scene, take), tap_fed(scene.core, take)
    if row or tap is None or view.curve is None:
        return None
    if quantity_id in KNEES:
        return _knee(view, KNEES[quantity_id])
    u_v, u_i = view.u_voltage_rel, view.u_current_rel
    classes = classes_of(scene.core)
    if u_v is None or u_i is None or isinstance(classes, Trouble):
        return None
    makers: dict[str, Callable[[_Asked], Budget | None]] = {
        "i_excitation_at_ek_a": _at_ek,
        "i_excitation_step_ratio": _step,
        "composite_error_percent": _composite,
        "i_excitation_at_emf_a": _at_emf,
        "v_at_fs_current_v": _security,
        "emf_class_v": _emf,
        PEAK: lambda asked: peak_budget(scene, take, asked.tap, asked.view, asked.accuracy),
        REMANENCE: lambda _: _remanence(scene, take),
        "l_unsaturated_h": _inductance,
    }
    maker = makers.get(quantity_id)
    if maker is None:
        return None
    found = (maker(_Asked(scene, tap, view, accuracy, u_v, u_i)) for accuracy in classes)
    return next((budget for budget in found if budget is not None), None)


def _knee(view: CurveView, definition: str) -> Budget | None:
    knee = view.knees.get(definition)
    if not isinstance(knee, Knee) or knee.u_voltage_v is None or view.u_voltage_rel is None:
        return None
    scale_v = knee.voltage_v * view.u_voltage_rel
    scatter_v = math.sqrt(max(0.0, knee.u_voltage_v**2 - scale_v**2))
    lines = (
        Line("scatter of the readings", knee.voltage_v, scatter_v, 1.0, "smoothed curve"),
        Line("voltmeter, common to all", knee.voltage_v, scale_v, 1.0, "specification", "rectangular"),
    )
    return Budget(f"knee, {definition}", "V", knee.voltage_v, lines)


def _at_ek(asked: _Asked) -> Budget | None:
    ek_v, percent = asked.accuracy.ek_v, asked.accuracy.ie_at_ek_percent or 100.0
    if ek_v is None or asked.accuracy.ie_a is None:
        return None
    at_v = ek_v * percent / 100.0
    current = current_at(asked.view, at_v)
    if current is None:
        return None
    slope = slope_at(asked.view, at_v)
    lines = (asked.ammeter(current), asked.voltmeter(current * slope))
    return Budget("exciting current at Ek", "A", current, lines)


def _step(asked: _Asked) -> Budget | None:
    if asked.accuracy.ek_v is None:
        return None
    low_v, high_v = asked.accuracy.ek_v, STEP_VOLTAGE_RATIO * asked.accuracy.ek_v
    low, high = current_at(asked.view, low_v), current_at(asked.view, high_v)
    if low is None or high is None:
        return None
    ratio = high / low
    lines = (
        asked.ammeter(ratio, "ammeter at 1.1 Ek"),
        asked.ammeter(-ratio, "ammeter at Ek"),
        asked.voltmeter(ratio * slope_at(asked.view, high_v), "voltmeter at 1.1 Ek"),
        asked.voltmeter(-ratio * slope_at(asked.view, low_v), "voltmeter at Ek"),
    )
    return Budget("Ie at 1.1 Ek over Ie at Ek", "1", ratio, lines)


def _of_current(asked: _Asked, quantity: str, unit: str, scale: float) -> Budget | None:
    """The exciting current at the e.m.f. of the class, times a scale."""
    emf = asked.emf()
    current = None if emf is None else current_at(asked.view, emf.phasor_v)
    if emf is None or current is None:
        return None
    value, slope = current * scale, slope_at(asked.view, emf.phasor_v)
    lines = (
        asked.ammeter(value),
        asked.voltmeter(value * slope),
        asked.winding(emf, value * slope / emf.phasor_v),
    )
    return Budget(quantity, unit, value, lines)


def _composite(asked: _Asked) -> Budget | None:
    emf = asked.emf()
    if emf is None or asked.accuracy.limit_factor is None:
        return None
    per_a = 100.0 / (emf.limit_factor * emf.i_secondary_rated_a)
    return _of_current(asked, "composite error, indirect", "percent", per_a)


def _at_emf(asked: _Asked) -> Budget | None:
    return _of_current(asked, "exciting current at the class e.m.f.", "A", 1.0)


def _security(asked: _Asked) -> Budget | None:
    """Volts at 10 % of FS I_sr; the e.m.f. that they are compared with brings its winding along."""
    emf = asked.emf()
    if emf is None or asked.accuracy.security_factor is None:
        return None
    volts = voltage_at(asked.view, SECURITY_REL * emf.limit_factor * emf.i_secondary_rated_a)
    slope = 0.0 if volts is None else slope_at(asked.view, volts)
    if volts is None or slope <= 0.0:
        return None
    lines = (asked.voltmeter(volts), asked.ammeter(volts / slope), asked.winding(emf, 1.0))
    return Budget("voltage at 10 % of FS Isr", "V", volts, lines)


def _emf(asked: _Asked) -> Budget | None:
    emf = asked.emf()
    if emf is None:
        return None
    return Budget("e.m.f. of the class", "V", emf.phasor_v, (asked.winding(emf, 1.0),))


def _remanence(scene: Scene, take: Take) -> Budget | None:
    found = number(take.method, REMANENCE)
    u = None if isinstance(found, Trouble) else standard_uncertainty(scene, found.reading, found.value)
    if isinstance(found, Trouble) or u is None:
        return None
    line = Line("remanence as read", found.value, u, 1.0, "specification and last digit", "rectangular")
    return Budget("remanence factor", "percent", found.value, (line,))


def _inductance(asked: _Asked) -> Budget | None:
    if asked.view.curve is None:
        return None
    found = unsaturated(asked.view.curve, asked.scene.job.frequency_rated_hz).unsaturated_h
    return Budget("unsaturated inductance", "H", found, (asked.voltmeter(found), asked.ammeter(-found)))
