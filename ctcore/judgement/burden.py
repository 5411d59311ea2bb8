"""Burden: impedance and VA at rated current, against the plate; leads against their length."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from ctcore import burden, wire
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.job import Tap
from ctcore.judgement.cells import Number, Trouble, number, value_of
from ctcore.judgement.limit import Limit, against_limit, shown, standing_of, to_four_digits
from ctcore.judgement.meter import calibration_doubts, standard_uncertainty
from ctcore.judgement.plate import class_applies, classes_of
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.nameplate import AccuracyClass
from ctcore.procedure import Derived, FixedRow, Scene
from ctcore.standards import burden_range, relay_burden, standard_burden
from ctcore.takes import Take

CONNECTED, LEADS = "connected", "leads"
ROWS: Final = (
    FixedRow(row=CONNECTED, words="Circuit from the terminals"),
    FixedRow(row=LEADS, words="Lead loop alone", required=False),
)
VA: Final = "burden_connected_va"
_CUSTOM: Final = "common practice, no source"
# Practice: leads measure less than the greatest resistance of their cross-section, joints apart.
LEADS_OVER: Final = 1.2


def derive(scene: Scene, take: Take) -> list[Derived]:
    """Z, R, X and VA of each row, and the resistance of the leads by their length."""
    derived = []
    tap = tap_in_use(scene)
    for fixed in ROWS:
        found = None if tap is None else measured(scene, take, fixed.row, tap)
        if found is None or isinstance(found, Trouble):
            continue
        z, u = found
        derived += [Derived(fixed.row, "z_burden_ohm", abs(z))]
        if value_of(take.row(fixed.row), "phase_burden_deg") is not None:
            derived += [
                Derived(fixed.row, "r_burden_ohm", z.real),
                Derived(fixed.row, "x_burden_ohm", z.imag),
            ]
        assert tap is not None
        derived.append(Derived(fixed.row, VA, tap.i_secondary_rated_a**2 * abs(z), u))
    leads = wire_ohm(take)
    if isinstance(leads, float):
        derived.append(Derived(LEADS, "r_wire_ohm", leads))
    return derived


@dataclass(frozen=True, slots=True)
class Triangle:
    """One measured circuit: R, X and Z in ohm, and VA at rated secondary current."""

    row: str
    r_ohm: float
    x_ohm: float
    z_ohm: float
    output_va: float


def triangles(scene: Scene, take: Take) -> tuple[Triangle, ...]:
    """The triangle of each row whose angle was read: without it R and X are not known apart."""
    by_row: dict[str, dict[str, float]] = {}
    for entry in derive(scene, take):
        if isinstance(entry.value, float):
            by_row.setdefault(entry.row, {})[entry.quantity_id] = entry.value
    return tuple(
        Triangle(row, held["r_burden_ohm"], held["x_burden_ohm"], held["z_burden_ohm"], held[VA])
        for row, held in by_row.items()
        if "x_burden_ohm" in held
    )


@dataclass(frozen=True, slots=True)
class RatedBurden:
    """The least and the greatest impedance that a class allows, in ohm; `low_ohm` None where it has none."""

    designation: str
    low_ohm: float | None
    high_ohm: float
    output_va: float


def rated_burdens(scene: Scene) -> tuple[RatedBurden, ...]:
    """The range of every class of the plate that states one, as impedance at rated secondary current."""
    tap, classes = tap_in_use(scene), classes_of(scene.core)
    if tap is None or isinstance(classes, Trouble):
        return ()
    found = []
    for accuracy in classes:
        try:
            held = range_of(tap, accuracy)
        except BadInput:
            continue
        if held is not None:
            low_va, high_va, square = held[0], held[1], tap.i_secondary_rated_a**2
            low = None if low_va is None else low_va / square
            found.append(RatedBurden(accuracy.designation, low, high_va / square, high_va))
    return tuple(found)


def judge(scene: Scene, take: Take) -> list[Finding]:
    """The circuit against every class of the plate, and the leads against their length."""
    tap = tap_in_use(scene)
    spot = Spot(scene, take, CONNECTED)
    if tap is None:
        return [told(spot, VA, "refer", "The plate names no terminals yet.", rule="burden.tap")]
    found = measured(scene, take, CONNECTED, tap)
    if isinstance(found, Trouble):
        return [troubled(spot, VA, found, rule="burden.reading"), *_leads(scene, take, tap)]
    classes = classes_of(scene.core)
    if isinstance(classes, Trouble):
        return [troubled(spot, VA, classes, rule="burden.class"), *_leads(scene, take, tap)]
    judged = [_against(spot, tap, accuracy, found) for accuracy in classes]
    return [*judged, *_leads(scene, take, tap)]


def tap_in_use(scene: Scene) -> Tap | None:
    """The tap in service; the whole winding where none is named; None without terminals."""
    core = scene.core
    if not core.taps:
        return None
    return core.tap(core.service_tap_id or "") or core.full_tap


def measured(scene: Scene, take: Take, row: str, tap: Tap) -> tuple[complex, float | None] | Trouble:
    """Impedance of one row, and the expanded uncertainty of its VA; without an angle as if resistive."""
    volts, amperes = number(take.row(row), "v_burden_v"), number(take.row(row), "i_burden_a")
    if isinstance(volts, Trouble):
        return volts
    if isinstance(amperes, Trouble):
        return amperes
    angle = number(take.row(row), "phase_burden_deg")
    degrees = angle.value if isinstance(angle, Number) else 0.0
    try:
        found = burden.from_measurement(
            volts.value, amperes.value, degrees, i_secondary_rated_a=tap.i_secondary_rated_a
        )
    except BadInput as refusal:
        return Trouble(
            "not tested", f"{refusal.quantity[:1].upper()}{refusal.quantity[1:]}: {refusal.reason}."
        )
    u_volts = standard_uncertainty(scene, volts.reading, volts.value)
    u_amperes = standard_uncertainty(scene, amperes.reading, amperes.value)
    u = None
    if u_volts is not None and u_amperes is not None:
        u = 2.0 * found.output_va * math.hypot(u_volts / volts.value, u_amperes / amperes.value)
    return found.z_ohm, u


def range_of(tap: Tap, accuracy: AccuracyClass) -> tuple[float | None, float, str, str] | None:
    """Least and greatest VA of a class on its tap, whose range it is, and its tag; None where there is none.

    Measuring classes hold from a quarter of the rated output; protection classes up to it.
    """
    i_rated = tap.i_secondary_rated_a
    if accuracy.is_metering and accuracy.output_va is not None:
        held = burden_range(accuracy.class_name, accuracy.output_va, output_low_va=accuracy.output_low_va)
        return held.low_va, held.high_va, "IEC 61869-2:2012, 5.6.201", held.tag
    if accuracy.output_va is not None:
        return None, accuracy.output_va, "rated output on the plate", "plate"
    if accuracy.c_voltage_v is not None:
        rated = relay_burden(accuracy.c_voltage_v, i_secondary_rated_a=i_rated)
        return None, rated.output_va, "burden of the class, IEEE C57.13", rated.tag
    if accuracy.burden_names:
        named = max((standard_burden(name, i_secondary_rated_a=i_rated) for name in accuracy.burden_names),
                    key=lambda entry: entry.output_va)  # fmt: skip
        return None, named.output_va, "largest burden named on the plate", named.tag
    if accuracy.rb_ohm is not None:
        return None, accuracy.rb_ohm * i_rated**2, "rated burden on the plate", "plate"
    return None


def _against(spot: Spot, tap: Tap, accuracy: AccuracyClass, found: tuple[complex, float | None]) -> Finding:
    z, u = found
    va = tap.i_secondary_rated_a**2 * abs(z)
    rule = "burden.range"
    try:
        held = range_of(tap, accuracy)
    except BadInput as refusal:
        return told(spot, VA, "refer", f"No range of burden: {refusal.reason}.", rule=rule, value=va)
    if held is None:
        text = f"{shown(VA, va)}. Class {accuracy.designation} states no burden."
        return told(spot, VA, "not applicable", text, rule=rule, value=va, u_expanded=u)
    low, high, source, tag = held
    readings = [found.reading for found in
                (number(spot.take.row(CONNECTED), name) for name in ("v_burden_v", "i_burden_a"))
                if isinstance(found, Number)]  # fmt: skip
    doubts = list(calibration_doubts(spot.scene, readings))
    if not class_applies(spot.scene.core, tap):
        doubts.append("The burden of the class belongs to the highest ratio; the tap in service bears less.")
    if (spot.take.method.cell("wire_loop").value_text or "") == "one_way":
        doubts.append("Counted one way: single-phase and residual faults see the leads there and back.")
    return against_limit(
        spot, VA, va, Limit(rule, low, high, source, standing_of(tag)), u_expanded=u, doubts=doubts,
        note=f"Class {accuracy.designation}, at {shown('i_burden_a', tap.i_secondary_rated_a)}.",
    )  # fmt: skip


def wire_ohm(take: Take) -> float | Trouble:
    """The greatest resistance of the leads by cross-section and length, at 20 °C."""
    area, length = number(take.method, "wire_area_mm2"), number(take.method, "wire_length_m")
    if isinstance(area, Trouble):
        return area
    if isinstance(length, Trouble):
        return length
    loop = take.method.cell("wire_loop").value_text or "there_and_back"
    try:
        return wire.loop_resistance_ohm(wire.metric_ohm_per_km(area.value), length.value, loop=loop)
    except BadInput as refusal:
        return Trouble("refer", f"{refusal.quantity[:1].upper()}{refusal.quantity[1:]}: {refusal.reason}.")


def _leads(scene: Scene, take: Take, tap: Tap) -> list[Finding]:
    """Measured leads against those by length, where there are both."""
    leads = measured(scene, take, LEADS, tap)
    by_length = wire_ohm(take)
    if isinstance(leads, Trouble) or isinstance(by_length, Trouble):
        return []
    spot = Spot(scene, take, LEADS)
    limit = Limit(
        "burden.leads", None, to_four_digits(LEADS_OVER * by_length), "IEC 60228 class 2, and joints", "seen"
    )
    found = against_limit(spot, "z_burden_ohm", abs(leads[0]), limit, beyond="refer", guarded=False)
    return [replace(found, text=f"{found.text} By length: {shown('r_wire_ohm', by_length)}.")]
