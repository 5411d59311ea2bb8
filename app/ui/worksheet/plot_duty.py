"""What class and certificate ask of a curve: the duty points, and the edge of the envelope."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from app.ui.plots.content import DutyPoint, Pairs
from app.ui.texts import text
from app.ui.worksheet.sheet import Sheet
from app.words import figures
from ctcore.curve import Curve
from ctcore.errors import BadInput, NoKnee
from ctcore.job import ReferencePoint
from ctcore.judgement.cells import Trouble
from ctcore.judgement.excitation_operating import limit_percent
from ctcore.judgement.excitation_targets import emf_of
from ctcore.judgement.plate import classes_of, plate_trouble, tap_fed
from ctcore.nameplate import RELAY_FAMILIES, AccuracyClass
from ctcore.standards import ieee_c57_13_2016 as ieee

_EDGE_POINTS_COUNT = 81


def duty_points(sheet: Sheet) -> tuple[DutyPoint, ...]:
    """The e.m.f. of every class with the exciting current that it allows there."""
    tap = tap_fed(sheet.core, sheet.take)
    classes = classes_of(sheet.core)
    if tap is None or isinstance(classes, Trouble) or plate_trouble(sheet.core) is not None:
        return ()
    found = []
    for accuracy in classes:
        if not (accuracy.limit_factor or accuracy.security_factor or accuracy.c_voltage_v is not None):
            continue
        emf = emf_of(sheet.scene, tap, accuracy)
        if isinstance(emf, Trouble):
            continue
        current = limit_percent(accuracy) / 100.0 * emf.limit_factor * emf.i_secondary_rated_a
        found.append(DutyPoint(emf.phasor_v, current, _words(accuracy, emf.phasor_v, current)))
    return tuple(found)


def _words(accuracy: AccuracyClass, voltage_v: float, current_a: float) -> str:
    shown = figures.with_unit(current_a, "A" if current_a >= 1.0 else "mA", significant=3)
    volts = figures.with_unit(voltage_v, "V", significant=3)
    # Practice: a core for instruments is to saturate by then, one for protection is not to.
    key = "plot.duty_least" if accuracy.security_factor is not None else "plot.duty_most"
    return text(key, current=shown, volts=volts)


def envelope_edge(sheet: Sheet) -> Pairs:
    """The edge of the allowance around a reference curve, where the class is one that has it; else empty."""
    classes = classes_of(sheet.core)
    if isinstance(classes, Trouble) or not any(entry.family in RELAY_FAMILIES for entry in classes):
        return Pairs()
    tap = tap_fed(sheet.core, sheet.take)
    own = [
        entry
        for entry in sheet.view.job.references.curves
        if entry.core_id == sheet.core.core_id and tap is not None and entry.tap_id == tap.tap_id
    ]
    first = sorted(own, key=lambda entry: entry.kind != "certificate")
    return _edge(first[0].points) if first else Pairs()


@lru_cache(maxsize=64)
def _edge(points: tuple[ReferencePoint, ...]) -> Pairs:
    """More current at equal volts below the knee, less volts at equal current above: beyond the edge."""
    try:
        curve = Curve([point.voltage_v for point in points], [point.current_a for point in points])
        knee_v = curve.knee("tangent45").voltage_v
    except (BadInput, NoKnee):
        return Pairs()
    volts = np.geomspace(curve.voltage_first_v, curve.voltage_last_v, _EDGE_POINTS_COUNT)
    volts[0], volts[-1] = curve.voltage_first_v, curve.voltage_last_v
    amperes = np.asarray(curve.current_a(volts))
    below = volts <= knee_v
    shown_a = np.where(below, amperes * ieee.ENVELOPE.current_percent_below_knee / 100.0, amperes)
    shown_v = np.where(below, volts, volts * ieee.ENVELOPE.voltage_percent_above_knee / 100.0)
    return Pairs(tuple(shown_v.tolist()), tuple(shown_a.tolist()))
