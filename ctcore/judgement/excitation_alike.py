"""Curves against each other: taps of one core on one line, sister phases, before and after demagnetising."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from statistics import median

import numpy as np

from ctcore.curve import Curve, RemanenceSign, TakenAs, on_one_line, refusals, remanence
from ctcore.curve import Tap as TapOfCurve
from ctcore.errors import BadInput
from ctcore.findings import Finding, Standing, Verdict
from ctcore.job import Core, Tap
from ctcore.judgement.excitation_curve import CurveView, measured
from ctcore.judgement.limit import Limit, against_limit
from ctcore.judgement.plate import same_tap, tap_fed
from ctcore.judgement.spot import Spot, told
from ctcore.procedure import Scene
from ctcore.takes import Take

TAPS, SISTERS = "v_per_turn_departure_percent", "curve_departure_percent"
# Practice: taps of one core within 5 % of volts per turn, sister phases within 5 % of volts at equal current
# where they saturate; below the knee cores of one type differ more; common practice, no source.
TAPS_PERCENT = SISTERS_PERCENT = 5.0
_CUSTOM: Standing = "common practice, no source"
_PLACES_COUNT = 40


def taken_as(scene: Scene, take: Take, tap: Tap) -> TakenAs:
    """How a curve was taken; the volts of every curve are carried to rated frequency."""
    return TakenAs(
        take.method.cell("voltage_response").value_text,
        take.method.cell("current_response").value_text,
        scene.job.frequency_rated_hz,
        tap.terminals_text,
    )


def against_taps(spot: Spot, tap: Tap, view: CurveView, doubts: tuple[str, ...]) -> list[Finding]:
    """This tap against the one with the most turns that has a curve too: volts per turn over ampere-turns.

    `doubts` are what keeps a curve from being called within: how it was taken.
    """
    scene = spot.scene
    others = [
        (other, take)
        for take in _of_record(scene, scene.core)
        if (other := tap_fed(scene.core, take)) is not None and other.ns_over_np_ratio > tap.ns_over_np_ratio
    ]
    if not others or view.curve is None:
        return []
    other, take = max(others, key=lambda pair: pair[0].ns_over_np_ratio)
    theirs = measured(scene, take)
    if theirs.curve is None:
        return []
    name, rule = other.terminals_text, "excitation.taps"
    unlike = refusals(taken_as(scene, spot.take, tap), taken_as(scene, take, tap))
    if unlike:
        return [told(spot, TAPS, "refer", f"Not compared with {name}: {'; '.join(unlike)}.", rule=rule)]
    found = _per_turn(view.curve, tap.ns_over_np_ratio, theirs.curve, other.ns_over_np_ratio)
    if isinstance(found, str):
        return [told(spot, TAPS, "refer", f"Not compared with {name}: {found}.", rule=rule)]
    limit = Limit(rule, -TAPS_PERCENT, TAPS_PERCENT, _CUSTOM, _CUSTOM)
    note = f"Furthest from {name}, volts per turn at equal ampere-turns."
    return [against_limit(spot, TAPS, found, limit, doubts=doubts, beyond="refer", guarded=False, note=note)]


@lru_cache(maxsize=128)
def _per_turn(curve: Curve, turns: float, other: Curve, other_turns: float) -> float | str:
    try:
        lines = on_one_line([TapOfCurve(other, other_turns), TapOfCurve(curve, turns)])
    except BadInput as refusal:
        return refusal.reason
    furthest = lines[1].furthest_percent
    return "the two share no ampere-turns" if furthest is None else furthest


def against_sisters(spot: Spot, tap: Tap, view: CurveView, doubts: tuple[str, ...]) -> list[Finding]:
    """This curve against the middle of the sister phases at the same tap, or the other where there is one."""
    rule, scene = "excitation.sisters", spot.scene
    if view.curve is None:
        return []
    found: list[tuple[float, str]] = []
    refused: list[str] = []
    for phase, sister, take, theirs in _sister_curves(scene, tap):
        unlike = refusals(taken_as(scene, spot.take, tap), taken_as(scene, take, sister))
        departure = None if unlike else volts_departure_percent(view.curve, theirs)
        if departure is None:
            reason = "; ".join(unlike) or "they share no saturated part"
            refused.append(f"Not compared with {phase}: {reason}.")
        else:
            found.append((departure, phase))
    if not found:
        text = " ".join(refused)
        return [told(spot, SISTERS, "refer", text, rule=rule)] if refused else []
    # This curve lies at zero and each sister at minus the departure from it.
    places = [-departure for departure, _ in found]
    off = 0.0 - (median([0.0, *places]) if len(places) > 1 else places[0])
    limit = Limit(rule, -SISTERS_PERCENT, SISTERS_PERCENT, _CUSTOM, _CUSTOM)
    names = ", ".join(phase for _, phase in found)
    note = " ".join((f"Volts at equal current, beside {names}.", *refused))
    return [against_limit(spot, SISTERS, off, limit, doubts=doubts, beyond="refer", guarded=False, note=note)]


def _sister_curves(scene: Scene, tap: Tap) -> Iterable[tuple[str, Tap, Take, Curve]]:
    for ct, core in scene.sisters():
        twin = same_tap(core, tap)
        there = replace(scene, ct=ct, core=core)
        for take in _of_record(there, core):
            view = measured(there, take)
            if twin is not None and view.tap_id == twin.tap_id and view.curve is not None:
                yield ct.phase_text, tap, take, view.curve


@lru_cache(maxsize=256)
def volts_departure_percent(curve: Curve, other: Curve) -> float | None:
    """How far the volts at equal current lie from another curve, at most, where that one saturates; None
    where the two share nothing there.

    Formula: 100 (V/V_other - 1) at equal current, where d ln I / d ln V of the other curve is 1 or more;
    percent, positive when this curve is higher.
    """
    x = np.linspace(other.log_curve.first, other.log_curve.last, _PLACES_COUNT)
    x = x[other.log_curve.slope(x) >= 1.0]
    ln_current, node = other.log_curve.ln_current(x), curve.log_curve.ln_current_node
    shared = (ln_current >= node[0]) & (ln_current <= node[-1])
    if not np.any(shared):
        return None
    try:
        volts = curve.voltage_v(np.exp(ln_current[shared]))
    except BadInput:
        return None
    percent = 100.0 * (volts / np.exp(x[shared]) - 1.0)
    return float(percent[np.argmax(np.abs(percent))])


def against_before(spot: Spot, tap: Tap, view: CurveView) -> list[Finding]:
    """This curve, taken after demagnetising, against an earlier take of the same tap from before it."""
    scene, rule = spot.scene, "excitation.magnetised"
    if view.curve is None or not _demagnetised(spot.take):
        return []
    before = _before(scene, spot.take, tap)
    if before is None:
        return []
    name = f"take {before.take}, before demagnetising"
    unlike = refusals(taken_as(scene, spot.take, tap), taken_as(scene, before, tap))
    earlier = measured(scene, before).curve
    if unlike or earlier is None:
        text = f"Not compared with {name}: {'; '.join(unlike) or 'it is no curve'}."
        return [told(spot, "i_excitation_a", "refer", text, rule=rule)]
    sign = _sign(earlier, view.curve)
    words = {
        True: f"Against {name}: {sign.reason_text}, so the core was magnetised then and is not now.",
        False: f"Against {name}: {sign.reason_text}.",
        None: f"Against {name}, not decided: {sign.reason_text}.",
    }[sign.was_magnetised]
    verdict: Verdict = "refer" if sign.was_magnetised is None else "not applicable"
    return [told(spot, "i_excitation_a", verdict, words, rule=rule, source=_CUSTOM, standing=_CUSTOM)]


@lru_cache(maxsize=64)
def _sign(before: Curve, after: Curve) -> RemanenceSign:
    try:
        return remanence(before, after)
    except BadInput as refusal:
        return RemanenceSign(None, None, None, refusal.reason)


def _demagnetised(take: Take) -> bool:
    return take.method.cell("demagnetised").value_text == "yes_no_dc_since"


def _before(scene: Scene, take: Take, tap: Tap) -> Take | None:
    """The last earlier take of the same tap that was taken without demagnetising."""
    own = scene.takes.get((scene.core.core_id, "excitation"), ())
    earlier = [
        other
        for other in own
        if other.take < take.take
        and other.method.cell("demagnetised").value_text == "no"
        and (fed := tap_fed(scene.core, other)) is not None
        and fed.tap_id == tap.tap_id
    ]
    return earlier[-1] if earlier else None


def _of_record(scene: Scene, core: Core) -> tuple[Take, ...]:
    """The last take of each tap fed."""
    takes = scene.takes.get((core.core_id, "excitation"), ())
    last = {take.method.cell("tap_id").value_text or "": take for take in takes}
    return tuple(last.values())
