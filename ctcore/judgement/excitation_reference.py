"""A measured curve against a certificate or an earlier one of the same terminals, where the two are alike."""

from __future__ import annotations

from ctcore.curve import Curve
from ctcore.errors import BadInput, NoKnee
from ctcore.findings import Finding, Verdict
from ctcore.job import ReferenceCurve, Tap
from ctcore.judgement.excitation_curve import FREQUENCY_ALIKE_REL, CurveView
from ctcore.judgement.plate import classes_of
from ctcore.judgement.spot import Spot, told
from ctcore.nameplate import AccuracyClass
from ctcore.standards import ieee_c57_13_2016 as ieee

RULE = "excitation.envelope"


def against_references(spot: Spot, tap: Tap, view: CurveView) -> list[Finding]:
    """One finding per reference curve of this core and tap."""
    references = spot.scene.job.references.curves
    core_id = spot.scene.core.core_id
    own = [entry for entry in references if (entry.core_id, entry.tap_id) == (core_id, tap.tap_id)]
    return [_against(spot, view, entry) for entry in own]


def _against(spot: Spot, view: CurveView, reference: ReferenceCurve) -> Finding:
    unlike = _why_unlike(spot, reference)
    if unlike:
        return _told(spot, "refer", f"Not compared with {reference.source_text}: {unlike}")
    try:
        curve = Curve(
            [point.voltage_v for point in reference.points], [point.current_a for point in reference.points]
        )
    except BadInput as refusal:
        return _told(
            spot, "refer", f"{reference.source_text} is no curve: {refusal.quantity}, {refusal.reason}."
        )
    beyond, compared = _beyond(view, curve)
    if not compared:
        return _told(spot, "refer", f"No reading lies within the curve of {reference.source_text}.")
    relay = _is_relay(spot)
    envelope = "125 % of its current below the knee, 95 % of its volts above"
    if beyond:
        rows = ", ".join(beyond)
        return _told(
            spot,
            "outside" if relay else "refer",
            f"Rows {rows} lie beyond {envelope}, {reference.source_text}.",
        )
    if relay:
        return _told(
            spot, "within", f"All {compared} readings lie within {envelope}, {reference.source_text}."
        )
    return _told(
        spot,
        "refer",
        f"All {compared} readings lie within {envelope}, {reference.source_text}; no limit of this class.",
    )


def _told(spot: Spot, verdict: Verdict, text: str) -> Finding:
    words = f"{text} Limit from memory: check against the standard."
    return told(
        spot,
        "i_excitation_a",
        verdict,
        words,
        rule=RULE,
        source=ieee.ENVELOPE.source,
        standing="from memory",
    )


def _why_unlike(spot: Spot, reference: ReferenceCurve) -> str:
    """Curves of unlike meters or frequency are not compared."""
    rated = spot.scene.job.frequency_rated_hz
    if abs(reference.frequency_hz - rated) > FREQUENCY_ALIKE_REL * rated:
        return f"it was taken at {reference.frequency_hz:g} Hz."
    response = spot.take.method.cell("voltage_response").value_text
    if response != reference.voltage_response:
        return "the volts of the two were read by unlike meters, or it is not stated by which."
    return ""


def _beyond(view: CurveView, reference: Curve) -> tuple[list[str], int]:
    """Rows beyond the envelope, and how many rows could be compared."""
    envelope = ieee.ENVELOPE
    try:
        knee = reference.knee("tangent45")
    except NoKnee:
        return [], 0
    beyond, compared = [], 0
    for point in view.kept:
        try:
            if point.voltage_v <= knee.voltage_v:
                bad = (
                    point.current_a
                    > reference.current_a(point.voltage_v) * envelope.current_percent_below_knee / 100.0
                )
            else:
                bad = (
                    point.voltage_v
                    < reference.voltage_v(point.current_a) * envelope.voltage_percent_above_knee / 100.0
                )
        except BadInput:
            continue
        compared += 1
        if bad:
            beyond.append(point.row)
    return beyond, compared


def _is_relay(spot: Spot) -> bool:
    classes = classes_of(spot.scene.core)
    return isinstance(classes, tuple) and any(_relay(entry) for entry in classes)


def _relay(accuracy: AccuracyClass) -> bool:
    return accuracy.family in ("c", "t", "k", "x")
