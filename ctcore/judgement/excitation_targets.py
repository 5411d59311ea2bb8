"""The voltage that the class of a core asks an excitation test to reach, and the next voltage to take."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ctcore import burden, limiting, taps
from ctcore.curve import Knee, NextReading, next_reading, rise_v
from ctcore.errors import BadInput
from ctcore.job import Core, Tap
from ctcore.judgement.cells import Trouble
from ctcore.judgement.excitation_curve import CurveView, measured
from ctcore.judgement.plate import classes_of, plate_trouble, tap_fed
from ctcore.judgement.winding import Winding, winding_of_record
from ctcore.nameplate import AccuracyClass
from ctcore.procedure import Scene
from ctcore.standards import power_factor_of_test, relay_burden
from ctcore.takes import Take

RELAY_FACTOR = 20.0
# Practice: volts this little beyond the next step are taken in that step; common practice, no source.
_ALMOST = 1.02


@dataclass(frozen=True, slots=True)
class Emf:
    """The e.m.f. that a class is checked at: by phasors, by adding sizes, and what it was made from.

    `arithmetic_v` is None where only the phasor form is in use.
    """

    phasor_v: float
    arithmetic_v: float | None
    limit_factor: float
    i_secondary_rated_a: float
    winding: Winding


def winding_at(scene: Scene, tap: Tap) -> Winding | Trouble:
    """The winding resistance of record of a tap with its value at 75 °C, or why there is none."""
    record = winding_of_record(scene, scene.core, tap)
    if record is None:
        return Trouble(
            "not tested", "The winding resistance is not tested yet, and the e.m.f. of the class needs it."
        )
    winding = record[0]
    if winding.r_75degc_ohm is None:
        reason = (winding.trouble or winding.trouble_75degc or Trouble("not tested", "It is not known.")).text
        return Trouble(
            "not tested",
            f"The winding resistance at 75 °C is not known, and the e.m.f. of the class needs it. {reason}",
        )
    return winding


def emf_of(scene: Scene, tap: Tap, accuracy: AccuracyClass) -> Emf | Trouble:
    """The e.m.f. of the class on a tap, from the plate and the winding resistance of record."""
    winding = winding_at(scene, tap)
    if isinstance(winding, Trouble):
        return winding
    try:
        return _emf(scene.core, tap, accuracy, winding)
    except BadInput as refusal:
        return Trouble(
            "refer", f"The e.m.f. of the class cannot be found: {refusal.quantity}, {refusal.reason}."
        )


def _emf(core: Core, tap: Tap, accuracy: AccuracyClass, winding: Winding) -> Emf | Trouble:
    r_75 = winding.r_75degc_ohm or 0.0
    i_rated = tap.i_secondary_rated_a
    if accuracy.c_voltage_v is not None:
        rating = class_voltage_v(core, tap, accuracy)
        z = relay_burden(rating * i_rated / 5.0, i_secondary_rated_a=i_rated).z_ohm
        phasor = float(limiting.emf_v(RELAY_FACTOR, i_rated, r_75, z))
        arithmetic = float(limiting.emf_arithmetic_v(RELAY_FACTOR, i_rated, r_75, z))
        return Emf(phasor, arithmetic, RELAY_FACTOR, i_rated, winding)
    factor = accuracy.limit_factor or accuracy.security_factor
    if factor is None or accuracy.output_va is None:
        return Trouble("refer", "The plate does not state factor and output of the class.")
    z = complex(burden.from_rating(accuracy.output_va, i_rated, power_factor_of_test(accuracy.output_va)))
    return Emf(float(limiting.emf_v(factor, i_rated, r_75, z)), None, factor, i_rated, winding)


def class_voltage_v(core: Core, tap: Tap, accuracy: AccuracyClass) -> float:
    """The class voltage of an IEEE relaying class on a tap: V 5/I_sr, in proportion to the turns in use.

    Where the plate gives the class to every tap, each has to bear it whole.
    Source: the proportion is common practice, no source; that the number belongs to 5 A is from memory.
    """
    printed = accuracy.c_voltage_v or 0.0
    at_rated = printed * 5.0 / tap.i_secondary_rated_a
    if core.class_on_every_tap:
        return at_rated
    full = core.full_tap.ns_over_np_ratio
    return float(taps.class_voltage_of_tap_v(at_rated, min(tap.ns_over_np_ratio, full), full))


def e_al_v(scene: Scene, tap: Tap, accuracy: AccuracyClass) -> float | Trouble:
    """E_al of a TP class in V r.m.s. on a tap, or why it is not known."""
    if accuracy.kssc is None or accuracy.ktd is None or accuracy.rb_ohm is None:
        return Trouble("refer", "The plate does not state Kssc, Ktd and Rb.")
    winding = winding_at(scene, tap)
    if isinstance(winding, Trouble):
        return winding
    try:
        return limiting.emf_transient_v(
            accuracy.kssc,
            accuracy.ktd,
            tap.i_secondary_rated_a,
            winding.r_75degc_ohm or 0.0,
            accuracy.rb_ohm,
        )
    except BadInput as refusal:
        return Trouble("refer", f"E_al cannot be found: {refusal.quantity}, {refusal.reason}.")


def voltage_wanted_v(scene: Scene, tap: Tap) -> float | None:
    """The highest voltage that any class of the core needs on this tap; None where that is not known."""
    classes = classes_of(scene.core)
    if isinstance(classes, Trouble):
        return None
    wanted = [_wanted(scene, tap, accuracy) for accuracy in classes]
    return max((volts for volts in wanted if volts is not None), default=None)


def _wanted(scene: Scene, tap: Tap, accuracy: AccuracyClass) -> float | None:
    if accuracy.family in ("px", "pxr") and accuracy.ek_v is not None:
        return 1.1 * accuracy.ek_v
    if accuracy.family == "x" and accuracy.ek_v is not None:
        return accuracy.ek_v
    if accuracy.family == "tp":
        e_al = e_al_v(scene, tap, accuracy)
        return None if isinstance(e_al, Trouble) else e_al
    needs_emf = accuracy.family in ("protection", "protection_pr", "c", "t", "k")
    if not (needs_emf or accuracy.security_factor is not None):
        return None
    emf = emf_of(scene, tap, accuracy)
    return None if isinstance(emf, Trouble) else emf.phasor_v


def curve_of(scene: Scene, take: Take) -> CurveView:
    """The curve of one take with everything that a plot shows of it, the next voltage included."""
    view = measured(scene, take)
    asked = next_point(scene, view, tap_fed(scene.core, take))
    return replace(view, next_voltage_v=asked.voltage_v, next_reason_text=asked.reason_text)


def next_point(scene: Scene, view: CurveView, tap: Tap | None) -> NextReading:
    """The next voltage to set at the supply and why; none where the readings go far enough.

    Readings go far enough when they hold the 10/50 knee and reach the voltage that the class asks for. Short
    of that voltage the next step up comes first; then what `ctcore.curve.next_reading` finds missing.
    """
    if view.curve is None or tap is None or plate_trouble(scene.core) is not None:
        return NextReading(None, "")
    wanted, last = voltage_wanted_v(scene, tap), view.curve.voltage_last_v
    if wanted is not None and last < wanted:
        volts = rise_v(view.curve)
        if wanted <= volts * _ALMOST:
            volts = wanted
        return _at_the_supply(scene, view, tap, NextReading(volts, "the class wants readings further up"))
    if isinstance(view.knees.get("iec"), Knee):
        return NextReading(None, "")
    return _at_the_supply(scene, view, tap, next_reading(view.curve))


def finer_point(scene: Scene, view: CurveView, tap: Tap | None) -> NextReading:
    """What would make all three knees better known, as volts to set at the supply; it costs a search."""
    if view.curve is None or tap is None:
        return NextReading(None, "")
    return _at_the_supply(scene, view, tap, next_reading(view.curve))


def _at_the_supply(scene: Scene, view: CurveView, tap: Tap, asked: NextReading) -> NextReading:
    """The scale runs on rated frequency, the knob on that of the supply; the ceiling comes first."""
    if asked.voltage_v is None:
        return asked
    volts, ceiling = asked.voltage_v / view.frequency_factor, ceiling_on_tap_v(scene, tap)
    if ceiling is not None and volts > ceiling:
        return NextReading(None, f"{asked.reason_text}; the ceiling of the job ends before it")
    return NextReading(volts, asked.reason_text)


def ceiling_on_tap_v(scene: Scene, tap: Tap) -> float | None:
    """The ceiling of the job, which holds across the whole winding, as volts on one tap."""
    ceiling = scene.job.references.voltage_ceiling_v
    if ceiling is None:
        return None
    return ceiling * tap.ns_over_np_ratio / scene.core.full_tap.ns_over_np_ratio
