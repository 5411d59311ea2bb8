"""A measured curve against a certificate or an earlier one of the same terminals, where the two are alike."""

from __future__ import annotations

from functools import lru_cache

from ctcore.curve import Curve, TakenAs, refusals
from ctcore.errors import BadInput, NoKnee
from ctcore.findings import Finding, Verdict
from ctcore.job import ReferenceCurve, ReferencePoint, Tap
from ctcore.judgement.excitation_alike import taken_as
from ctcore.judgement.excitation_curve import CurveView
from ctcore.judgement.plate import classes_of
from ctcore.judgement.spot import Spot, told
from ctcore.nameplate import RELAY_FAMILIES
from ctcore.standards import ieee_c57_13_2016 as ieee

RULE = "excitation.envelope"


def against_references(spot: Spot, tap: Tap, view: CurveView, doubts: tuple[str, ...]) -> list[Finding]:
    """One finding per reference curve of this core and tap.

    `doubts` are what keeps a curve from being called within: how it was taken.
    """
    references = spot.scene.job.references.curves
    core_id = spot.scene.core.core_id
    own = [entry for entry in references if (entry.core_id, entry.tap_id) == (core_id, tap.tap_id)]
    return [_against(spot, tap, view, entry, doubts) for entry in own]


def _against(
    spot: Spot, tap: Tap, view: CurveView, reference: ReferenceCurve, doubts: tuple[str, ...]
) -> Finding:
    unlike = refusals(taken_as(spot.scene, spot.take, tap), _reference_taken(reference, tap))
    if unlike:
        return _told(spot, "refer", f"Not compared with {reference.source_text}: {'; '.join(unlike)}.")
    curve = _curve(reference.points)
    if isinstance(curve, str):
        return _told(spot, "refer", f"{reference.source_text} is no curve: {curve}.")
    beyond, below, above = _beyond(view, curve)
    compared = below + above
    if not compared:
        return _told(spot, "refer", f"No reading lies within the curve of {reference.source_text}.")
    relay = _is_relay(spot)
    envelope = "125 % of its current below the knee, 95 % of its volts above"
    if beyond:
        text = f"Rows {', '.join(beyond)} lie beyond {envelope}, {reference.source_text}."
        return _told(spot, "outside" if relay else "refer", text)
    text = f"All {compared} readings compared lie within {envelope}, {reference.source_text}"
    if not relay:
        return _told(spot, "refer", f"{text}; no limit of this class.")
    reasons = (*doubts, *_too_little(spot, below, above))
    return _told(spot, "refer" if reasons else "within", " ".join((f"{text}.", *reasons)))


def _too_little(spot: Spot, below: int, above: int) -> list[str]:
    """What the comparison lacks to pass the curve as a whole."""
    found = []
    if not below or not above:
        found.append(f"None of them stands {'below' if not below else 'above'} the knee of the reference.")
    if spot.scene.job.references.decision_rule != "simple":
        found.append("The decision rule of the job asks for the uncertainty of every reading.")
    return found


def _reference_taken(reference: ReferenceCurve, tap: Tap) -> TakenAs:
    return TakenAs(
        reference.voltage_response or None,
        reference.current_response or None,
        reference.frequency_hz,
        tap.terminals_text,
    )


@lru_cache(maxsize=128)
def _curve(points: tuple[ReferencePoint, ...]) -> Curve | str:
    try:
        return Curve([point.voltage_v for point in points], [point.current_a for point in points])
    except BadInput as refusal:
        return f"{refusal.quantity}, {refusal.reason}"


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


def _beyond(view: CurveView, reference: Curve) -> tuple[list[str], int, int]:
    """Rows beyond the envelope, and how many rows could be compared below and above the knee.

    Above the knee the volts of the reference at the current of the reading are not sought: V is at least 95 %
    of them exactly where the current of the reference at V/0.95 is at least that of the reading.
    """
    envelope = ieee.ENVELOPE
    try:
        knee_v = reference.knee("tangent45").voltage_v
    except NoKnee:
        return [], 0, 0
    beyond, counts = [], [0, 0]
    for point in view.kept:
        above = point.voltage_v > knee_v
        at_v = point.voltage_v * 100.0 / envelope.voltage_percent_above_knee if above else point.voltage_v
        if not reference.voltage_first_v <= at_v <= reference.voltage_last_v:
            continue
        allowed = 1.0 if above else envelope.current_percent_below_knee / 100.0
        counts[above] += 1
        if point.current_a > allowed * reference.current_a(at_v):
            beyond.append(point.row)
    return beyond, counts[0], counts[1]


def _is_relay(spot: Spot) -> bool:
    classes = classes_of(spot.scene.core)
    return isinstance(classes, tuple) and any(entry.family in RELAY_FAMILIES for entry in classes)
