"""Excitation: knees and class figures as derived values, and the findings of every class on the plate."""

from __future__ import annotations

from ctcore import figures
from ctcore.curve import Knee
from ctcore.findings import Finding
from ctcore.job import Tap
from ctcore.judgement import excitation_conditions as conditions
from ctcore.judgement import excitation_operating as operating
from ctcore.judgement.cells import Trouble
from ctcore.judgement.excitation_alike import against_before, against_sisters, against_taps
from ctcore.judgement.excitation_check import Check
from ctcore.judgement.excitation_curve import CurveView, current_at, measured
from ctcore.judgement.excitation_iec import knee_point, security, with_limit_factor
from ctcore.judgement.excitation_ieee import relay, user_knee
from ctcore.judgement.excitation_reference import against_references
from ctcore.judgement.excitation_table import derived_cells, has_table, judge_table, table_of
from ctcore.judgement.excitation_transient import remanence, transient
from ctcore.judgement.limit import shown
from ctcore.judgement.memory import kept_by_take, remembered
from ctcore.judgement.plate import classes_of, tap_fed
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.judgement.winding import winding_of_record
from ctcore.nameplate import MEASURING_FAMILIES
from ctcore.procedure import Derived, Scene
from ctcore.takes import Take

KNEES = {"iec": "v_knee_iec_v", "tangent45": "v_knee_tangent45_v", "tangent30": "v_knee_tangent30_v"}
# Source: IEC 61869-2:2012, Annex 2B.2.1: beyond 2 % the drop in the winding is to be told.
DROP_TOLD_REL = 0.02


def derive(scene: Scene, take: Take) -> list[Derived]:
    """Three knees, the highest reading, rows left out and why, and the figures the class asks for."""
    against = [
        Derived("", finding.quantity, finding.value, finding.u_expanded)
        for finding in _against_others(scene, take)
        if isinstance(finding.value, float)
    ]
    return [*_derived_of_itself(scene, take), *against]


@remembered(own=("resistance", "ratio", "burden"))
def _derived_of_itself(scene: Scene, take: Take) -> list[Derived]:
    view = measured(scene, take)
    derived = [Derived(entry.row, "v_excitation_v", None, note=entry.reason) for entry in view.left_out]
    derived += [
        Derived(point.row, "v_excitation_v", point.voltage_v, note="Went down: beside the curve, not on it.")
        for point in view.reversed
    ]
    if view.curve is None:
        return derived
    for definition, quantity_id in KNEES.items():
        knee = view.knees[definition]
        if isinstance(knee, Knee):
            u = None if knee.u_voltage_v is None else 2.0 * knee.u_voltage_v
            derived.append(Derived("", quantity_id, knee.voltage_v, u))
        else:
            derived.append(Derived("", quantity_id, None, note=knee))
    derived.append(
        Derived("", "v_highest_v", view.curve.voltage_last_v, note=conditions.frequency_note(scene, view))
    )
    shown_already = {entry.quantity_id for entry in derived}
    derived += [
        Derived("", finding.quantity, finding.value, finding.u_expanded)
        for finding in _of_itself(scene, take)
        if isinstance(finding.value, float) and finding.quantity not in shown_already
    ]
    tap = tap_fed(scene.core, take)
    if tap is None:
        return derived
    return [*derived, *operating.derive(scene, tap, view), *_cells(scene, take, tap)]


def _cells(scene: Scene, take: Take, tap: Tap) -> list[Derived]:
    """The cells of the calculated tables of all classes."""
    classes = classes_of(scene.core)
    found = []
    for accuracy in () if isinstance(classes, Trouble) else classes:
        if has_table(accuracy):
            table = table_of(scene, take, tap, measured(scene, take), accuracy)
            found += [] if isinstance(table, Trouble) else derived_cells(table)
    once = {entry.row: entry for entry in reversed(found)}
    return [entry for entry in found if once[entry.row] is entry]


def judge(scene: Scene, take: Take) -> list[Finding]:
    """Findings of one curve by itself, and against the other taps, the sisters and what was before."""
    return [*_of_itself(scene, take), *_against_others(scene, take)]


@remembered(own=("excitation",), sisters=("excitation",))
def _against_others(scene: Scene, take: Take) -> list[Finding]:
    view, tap = measured(scene, take), tap_fed(scene.core, take)
    if view.curve is None or tap is None:
        return []
    spot = Spot(scene, take, tap_id=tap.tap_id)
    doubts = (*_doubts(scene, take), *conditions.not_of_this_core(take))
    return [
        *against_taps(spot, tap, view, doubts),
        *against_sisters(spot, tap, view, doubts),
        *against_before(spot, tap, view),
    ]


@kept_by_take
def _doubts(scene: Scene, take: Take) -> tuple[str, ...]:
    return conditions.doubts(scene, take, measured(scene, take))


@remembered(own=("resistance", "ratio", "burden"))
def _of_itself(scene: Scene, take: Take) -> list[Finding]:
    """Findings of one curve for every class on the plate, and what stands in the way."""
    view = measured(scene, take)
    tap = tap_fed(scene.core, take)
    spot = Spot(scene, take, tap_id=tap.tap_id if tap else "")
    if view.curve is None:
        return [told(spot, "judgement", "not tested", _why_no_curve(view), rule="excitation.curve")]
    findings = [*_reversed(spot, view), *_left_out(spot, view)]
    classes = classes_of(scene.core)
    if isinstance(classes, Trouble):
        return [*findings, troubled(spot, "judgement", classes, rule="excitation.class")]
    if tap is None:
        text = " ".join(conditions.indicative(scene, take, None))
        return [*findings, told(spot, "judgement", "refer", text, rule="excitation.tap")]
    notes = " ".join(filter(None, (conditions.frequency_note(scene, view), _drop_note(scene, take, view))))
    doubts, indicative = _doubts(scene, take), conditions.indicative(scene, take, tap)
    for accuracy in classes:
        findings += _judge_class(Check(spot, tap, accuracy, view, doubts, indicative, notes))
    return findings + against_references(spot, tap, view, (*doubts, *indicative))


def _judge_class(check: Check) -> list[Finding]:
    """The check that the class asks for, then its table of errors where it has one."""
    return [*_by_family(check), *(judge_table(check) if has_table(check.accuracy) else ())]


def _by_family(check: Check) -> list[Finding]:
    accuracy = check.accuracy
    if accuracy.family in ("px", "pxr"):
        return [*knee_point(check), *remanence(check)]
    if accuracy.family in ("protection", "protection_pr"):
        return [*with_limit_factor(check), *remanence(check)]
    if accuracy.family in MEASURING_FAMILIES and accuracy.security_factor is not None:
        return security(check)
    if accuracy.family == "tp":
        return transient(check)
    if accuracy.family in ("c", "t", "k"):
        return relay(check)
    if accuracy.family == "x":
        return user_knee(check)
    text = f"Class {accuracy.designation} sets no limit on the curve; it is kept to compare with."
    return [told(check.spot, "judgement", "not applicable", text, rule="excitation.no_limit")]


def _why_no_curve(view: CurveView) -> str:
    reasons = [f"Row {entry.row}: {entry.reason}" for entry in view.left_out]
    return " ".join((view.reason or "No points yet.", *reasons))


def _reversed(spot: Spot, view: CurveView) -> list[Finding]:
    """A curve that stepped back is magnetised on: what was read after a fall stands beside it."""
    return [
        told(
            spot,
            "v_excitation_v",
            "refer",
            f"Row {point.row}, {shown('v_excitation_v', point.voltage_v)}, lies below the row before. "
            "A curve goes up only: strike it, or start a new take.",
            rule="excitation.reversed",
            value=point.voltage_v,
        )
        for point in view.reversed
    ]


def _left_out(spot: Spot, view: CurveView) -> list[Finding]:
    return [
        told(
            spot,
            "v_excitation_v",
            "refer",
            f"Row {entry.row} is not on the curve. {entry.reason}",
            rule="excitation.left_out",
        )
        for entry in view.left_out
    ]


def _drop_note(scene: Scene, take: Take, view: CurveView) -> str:
    """That I Rct is no small part of the volts at the last reading; Rct at the temperature of the test."""
    tap = tap_fed(scene.core, take)
    record = None if tap is None else winding_of_record(scene, scene.core, tap)
    if view.curve is None or record is None or record[0].r_winding_ohm is None:
        return ""
    last = view.curve.voltage_last_v
    current = current_at(view, last)
    share = 0.0 if current is None else current * record[0].r_winding_ohm / last
    if share <= DROP_TOLD_REL:
        return ""
    percent = figures.text(share * 100.0, "percent", significant=2)
    return (
        f"At the last reading the winding drops up to {percent} % of the volts, approximate above the knee."
    )
