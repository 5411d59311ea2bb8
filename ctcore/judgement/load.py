"""In-service check with load current: ratio, angles between the phases, residual."""

from __future__ import annotations

import cmath
import math
from typing import Final

from ctcore.findings import Finding, Verdict
from ctcore.judgement.burden import tap_in_use
from ctcore.judgement.cells import Trouble, number, value_of
from ctcore.judgement.limit import Limit, against_limit, shown, to_four_digits
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.procedure import Derived, FixedRow, Scene
from ctcore.takes import Take

ROW: Final = "load"
ROWS: Final = (FixedRow(row=ROW, words="This phase in service"),)
_CUSTOM: Final = "common practice, no source"
# Practice: below a tenth of rated current a load check is only an indication; common practice, no source.
LEAST_PERCENT: Final = 10.0
LOAD_PERCENT: Final = 10.0
ANGLE_DEG: Final = 15.0
RESIDUAL_SHARE: Final = 0.2
TWICE_SHARE: Final = 1.5


def derive(scene: Scene, take: Take) -> list[Derived]:
    """Load in percent of rated, and the vector sum of the phases."""
    derived = []
    percent = load_percent(scene, take)
    if percent is not None:
        derived.append(Derived(ROW, "load_percent", percent))
    total = _vector_sum_a(scene, take)
    if total is not None:
        derived.append(Derived(ROW, "i_residual_vector_a", total))
    return derived


def judge(scene: Scene, take: Take) -> list[Finding]:
    """Current against the known load, order of the angles, and the sum of the phases."""
    spot = Spot(scene, take, ROW)
    return [_against_load(spot), _order(spot), _sum(spot)]


def load_percent(scene: Scene, take: Take) -> float | None:
    """Secondary current in percent of rated secondary current."""
    tap, amperes = tap_in_use(scene), value_of(take.row(ROW), "i_secondary_a")
    return None if tap is None or amperes is None else 100.0 * amperes / tap.i_secondary_rated_a


def _light(spot: Spot) -> tuple[str, ...]:
    percent = load_percent(spot.scene, spot.take)
    if percent is None or percent >= LEAST_PERCENT:
        return ()
    return (
        f"At {shown('load_percent', percent)} of rated current this is an indication: repeat with more load.",
    )


def _against_load(spot: Spot) -> Finding:
    rule = "load.current"
    secondary, known = (
        number(spot.take.row(ROW), "i_secondary_a"),
        number(spot.take.method, "i_load_primary_a"),
    )
    if isinstance(secondary, Trouble):
        return troubled(spot, "i_secondary_a", secondary, rule=rule)
    tap = tap_in_use(spot.scene)
    if isinstance(known, Trouble) or tap is None or known.value <= 0.0:
        text = f"{shown('i_secondary_a', secondary.value)}; the primary load is not known from elsewhere."
        return told(spot, "i_secondary_a", "refer", text, rule=rule, value=secondary.value)
    expected = known.value / tap.k_rated_ratio
    limit = Limit(
        rule, to_four_digits(expected * (1.0 - LOAD_PERCENT / 100.0)),
        to_four_digits(expected * (1.0 + LOAD_PERCENT / 100.0)),
        f"{_CUSTOM}: load within 10 %", _CUSTOM,
    )  # fmt: skip
    return against_limit(
        spot, "i_secondary_a", secondary.value, limit, indicative=_light(spot), beyond="refer", guarded=False
    )


def _phasors(scene: Scene, take: Take) -> list[complex] | None:
    """The currents of the phases in the order of their names; None where one is missing."""
    found: dict[str, complex] = {}
    members = [
        (scene.ct, take),
        *((ct, scene.of_record("load", core.core_id)) for ct, core in scene.sisters()),
    ]
    for ct, its in members:
        if its is None:
            return None
        amperes = value_of(its.row(ROW), "i_secondary_a")
        degrees = value_of(its.row(ROW), "phase_to_reference_deg")
        if amperes is None or degrees is None:
            return None
        found[ct.phase_text] = cmath.rect(amperes, math.radians(degrees))
    names = scene.job.phase_names
    return [found[name] for name in names] if len(names) == 3 and set(found) == set(names) else None


def _vector_sum_a(scene: Scene, take: Take) -> float | None:
    phasors = _phasors(scene, take)
    return None if phasors is None else abs(sum(phasors))


def _order(spot: Spot) -> Finding:
    rule = "load.order"
    angle = number(spot.take.row(ROW), "phase_to_reference_deg")
    if isinstance(angle, Trouble):
        return troubled(spot, "phase_to_reference_deg", angle, rule=rule)
    phasors = _phasors(spot.scene, spot.take)
    if phasors is None or min(abs(phasor) for phasor in phasors) <= 0.0:
        text = "The angles of all three phases are not known yet."
        return told(spot, "phase_to_reference_deg", "not tested", text, rule=rule, value=angle.value)
    steps = [math.degrees(cmath.phase(phasors[index] / phasors[(index + 1) % 3])) for index in range(3)]
    verdict: Verdict = "refer"
    if all(abs(step - 120.0) <= ANGLE_DEG for step in steps):
        verdict, text = "within", "The phases follow each other by a third of a turn."
    elif all(abs(step + 120.0) <= ANGLE_DEG for step in steps):
        text = "The phases follow each other the other way round. Are two of them exchanged?"
    else:
        text = f"The phases lie {', '.join(f'{step:.0f}°' for step in steps)} apart. Is one turned round?"
    light = _light(spot)
    return told(
        spot, "phase_to_reference_deg", "refer" if light else verdict, " ".join((text, *light)), rule=rule,
        value=angle.value, source=_CUSTOM, standing=_CUSTOM,
    )  # fmt: skip


def _sum(spot: Spot) -> Finding:
    rule = "load.residual"
    phasors = _phasors(spot.scene, spot.take)
    own = value_of(spot.take.row(ROW), "i_secondary_a")
    if phasors is None or not own:
        text = "The vector sum needs current and angle of all three phases."
        return told(spot, "i_residual_vector_a", "not tested", text, rule=rule)
    total = abs(sum(phasors))
    share = total / own
    verdict: Verdict = "within" if share <= RESIDUAL_SHARE else "outside" if share >= TWICE_SHARE else "refer"
    words = {
        "within": "the phases cancel.",
        "outside": "about twice the phase current: one phase is turned round.",
        "refer": "the load may be unbalanced. Does the relay measure the same residual?",
    }[verdict]
    light = _light(spot)
    text = f"Vector sum {shown('i_residual_vector_a', total)}, {share:.2f} of the phase current: {words}"
    return told(
        spot, "i_residual_vector_a", "refer" if light and verdict == "within" else verdict,
        " ".join((text, *light)), rule=rule, value=total, source=_CUSTOM, standing=_CUSTOM,
    )  # fmt: skip
