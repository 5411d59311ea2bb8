"""Demagnetising: the plan of steps, how it was done, and what the curve afterwards proves."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from ctcore import demagnetising
from ctcore.curve import Knee, remanence
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.judgement.cells import Number, Trouble, choice, number
from ctcore.judgement.excitation_curve import CurveView, current_at, measured
from ctcore.judgement.excitation_targets import voltage_wanted_v
from ctcore.judgement.limit import Limit, against_limit, shown, to_four_digits
from ctcore.judgement.plate import tap_fed
from ctcore.judgement.sisters import departure_percent
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.judgement.times import began, ended
from ctcore.procedure import Derived, FixedRow, Scene
from ctcore.takes import Take

ROW: Final = "winding"
ROWS: Final = (FixedRow(row=ROW, words="This winding, whole"),)
_CUSTOM: Final = "common practice, no source"
# Practice: sister phases agree within 30 % in exciting current at the low end; common practice, no source.
LOW_END_PERCENT: Final = 30.0
_LOW_SHARE: Final = 1.0 / 3.0


def derive(scene: Scene, take: Take) -> list[Derived]:
    """The planned start and steps, and the low end of the next curve against the sister phases."""
    derived = []
    wanted = wanted_v(scene)
    if wanted is not None and take.method.cell("demagnetising_method").value_text == "ac_ramp":
        derived.append(Derived(ROW, "v_start_wanted_v", wanted, note=plan_words(scene)))
    change = _low_end_percent(scene, take)
    if change is not None:
        derived.append(Derived(ROW, "i_low_end_change_percent", change))
    return derived


def judge(scene: Scene, take: Take) -> list[Finding]:
    """How it started, how it ended, and what the curve proves."""
    spot = Spot(scene, take, ROW)
    method = choice(take.method, "demagnetising_method")
    if isinstance(method, Trouble):
        return [troubled(spot, "demagnetising_method", method, rule="demagnetising.method")]
    return [_start(spot, method), _end(spot), _proof(spot)]


def wanted_v(scene: Scene) -> float | None:
    """The voltage to start from on the whole winding: 1.2 times the knee of record, or what the class asks
    for, never above the ceiling of the job; None where neither is known."""
    core = scene.core
    knees = [knee.voltage_v for view in _views(scene) if isinstance(knee := view.knees.get("iec"), Knee)]
    class_v = voltage_wanted_v(scene, core.full_tap) if core.taps else None
    start = max(knees) * demagnetising.START_OVER_KNEE if knees else class_v
    ceiling = scene.job.references.voltage_ceiling_v
    return start if start is None or ceiling is None else min(start, ceiling)


def plan_words(scene: Scene) -> str:
    """The steps of a voltage run down, in words; empty where the start is not known."""
    wanted = wanted_v(scene)
    if wanted is None:
        return ""
    hertz = scene.job.frequency_rated_hz
    steps = demagnetising.ac_ramp(wanted / demagnetising.START_OVER_KNEE, hertz)
    first = ", ".join(shown("v_start_v", step.level) for step in steps[:4])
    last = shown("v_start_v", steps[-2].level)
    hold = f"{10.0 / hertz:.2g} s or more each"
    return f"Run down in {len(steps)} steps or smoothly: {first} … {last}, off; {hold}."


def _views(scene: Scene) -> list[CurveView]:
    takes = scene.takes.get((scene.core.core_id, "excitation"), ())
    return [measured(scene, take) for take in takes if _is_whole(scene, take)]


def _is_whole(scene: Scene, take: Take) -> bool:
    return tap_fed(scene.core, take) is scene.core.full_tap


def _start(spot: Spot, method: str) -> Finding:
    rule = "demagnetising.start"
    quantity_id = "v_start_v" if method == "ac_ramp" else "i_start_a"
    level = number(spot.take.row(ROW), quantity_id)
    if isinstance(level, Trouble):
        plan = plan_words(spot.scene) if quantity_id == "v_start_v" else ""
        missing = Trouble(level.verdict, f"{level.text} {plan}".strip())
        return troubled(spot, quantity_id, missing, rule=rule)
    least = _least_start(spot.scene, quantity_id)
    if least is None:
        text = f"Started from {shown(quantity_id, level.value)}; no knee of this core to hold it against yet."
        return told(spot, quantity_id, "refer", text, rule=rule, value=level.value)
    limit = Limit(rule, to_four_digits(least), None, f"{_CUSTOM}: past saturation", _CUSTOM)
    return against_limit(spot, quantity_id, level.value, limit, beyond="refer", guarded=False)


def _least_start(scene: Scene, quantity_id: str) -> float | None:
    """The knee, or the peak of the current there: what a start has to pass."""
    found = []
    for view in _views(scene):
        knee = view.knees.get("iec")
        if isinstance(knee, Knee):
            found.append(knee.voltage_v if quantity_id == "v_start_v" else math.sqrt(2.0) * knee.current_a)
    return max(found, default=None)


def _end(spot: Spot) -> Finding:
    rule = "demagnetising.end"
    end = choice(spot.take.row(ROW), "demagnetising_end")
    if isinstance(end, Trouble):
        return troubled(spot, "demagnetising_end", end, rule=rule)
    if end != "zero":
        text = "Interrupted above zero: the core may be magnetised more than before. Start again."
        return told(spot, "demagnetising_end", "outside", text, rule=rule, value=end)
    told_in = [
        f"{shown(name, found.value)}{words}"
        for name, words in (("time_to_zero_s", ""), ("steps_count", " steps"))
        if isinstance(found := number(spot.take.row(ROW), name), Number)
    ]
    text = f"Ended at zero ({', '.join(told_in) or 'time and steps not recorded'})."
    return told(spot, "demagnetising_end", "within", text, rule=rule, value=end, source=_CUSTOM,
                standing=_CUSTOM)  # fmt: skip


def _proof(spot: Spot) -> Finding:
    rule = "demagnetising.proof"
    sign = _moved(spot.scene, spot.take)
    if sign:
        return told(
            spot, "i_low_end_change_percent", "within", sign, rule=rule, source=_CUSTOM, standing=_CUSTOM
        )
    change = _low_end_percent(spot.scene, spot.take)
    if change is None:
        text = "No curve after it with a sister phase to compare: the proof is still to come."
        return told(spot, "i_low_end_change_percent", "not tested", text, rule=rule)
    limit = Limit(rule, -LOW_END_PERCENT, LOW_END_PERCENT, _CUSTOM, _CUSTOM)
    found = against_limit(spot, "i_low_end_change_percent", change, limit, beyond="refer", guarded=False)
    return replace(found, text=f"{found.text} Below a third of the knee, after demagnetising.")


def _moved(scene: Scene, take: Take) -> str:
    """What curves before and after it say together; empty where they do not prove anything."""
    takes = [
        entry for entry in scene.takes.get((scene.core.core_id, "excitation"), ()) if _is_whole(scene, entry)
    ]
    before = [entry for entry in takes if ended(entry) <= began(take)]
    after = [entry for entry in takes if began(entry) >= ended(take)]
    if not before or not after:
        return ""
    first, last = measured(scene, before[-1]).curve, measured(scene, after[-1]).curve
    if first is None or last is None:
        return ""
    try:
        sign = remanence(first, last)
    except BadInput:
        return ""
    if sign.was_magnetised is None:
        return ""
    return f"Curves before and after: {sign.reason_text}."


def _low_end_percent(scene: Scene, take: Take) -> float | None:
    own = _low_end(scene, take)
    if own is None:
        return None
    volts, amperes = own
    others = []
    for ct, core in scene.sisters():
        sister = Scene(scene.job, scene.position, ct, core, scene.takes)
        found = [current_at(view, volts) for view in _views(sister) if view.curve is not None]
        others += [current for current in found if current is not None]
    return departure_percent(amperes, others)


def _low_end(scene: Scene, take: Take) -> tuple[float, float] | None:
    """Volts and amperes in the middle of the low end of the first curve taken after this."""
    takes = scene.takes.get((scene.core.core_id, "excitation"), ())
    after = [entry for entry in takes if began(entry) >= ended(take) and _is_whole(scene, entry)]
    for entry in after:
        view = measured(scene, entry)
        knee = view.knees.get("iec")
        if view.curve is not None and isinstance(knee, Knee):
            low, high = view.curve.voltage_first_v, _LOW_SHARE * knee.voltage_v
            volts = math.sqrt(low * high) if low < high else low
            current = current_at(view, volts)
            return None if current is None else (volts, current)
    return None
