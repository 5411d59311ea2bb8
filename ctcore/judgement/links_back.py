"""Links closed again: their count, the earth, and the proof of the loop."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from ctcore.findings import Finding
from ctcore.judgement.cells import Number, Trouble, number, value_of
from ctcore.judgement.limit import Limit, against_limit, shown, standing_words
from ctcore.judgement.meter import calibration_doubts
from ctcore.judgement.sisters import departure_percent
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.judgement.visual import earths
from ctcore.procedure import Derived, FixedRow, Scene
from ctcore.takes import Take

LOOP, JOINT, LIFTED = "loop", "earth_joint", "earth_lifted"
ROWS: Final = (
    FixedRow(row=LOOP, words="Loop of this core at the test block"),
    FixedRow(row=JOINT, words="Secondary earth, across its joint"),
    FixedRow(row=LIFTED, words="Circuit to earth with its earth lifted"),
)
_CUSTOM: Final = "common practice, no source"
# Practice: loops of the phases within 10 %, an earth joint below 1 ohm, a circuit to earth above 1 Mohm.
LOOP_PERCENT: Final = 10.0
JOINT_OHM: Final = 1.0
LIFTED_OHM: Final = 1e6
_WORDS: Final = {fixed.row: fixed.words for fixed in ROWS}


def derive(scene: Scene, take: Take) -> list[Derived]:
    """The departure of the loop from the sister phases."""
    spread = _spread_percent(scene, take)
    return [] if spread is None else [Derived(LOOP, "r_loop_spread_percent", spread)]


def judge(scene: Scene, take: Take) -> list[Finding]:
    """Links, earth, loop, joint and insulation with the earth lifted."""
    spot = Spot(scene, take)
    found = [_links(spot), earths(spot, "earths_left_count", rule="links_back.earths")]
    for row in (LOOP, JOINT, LIFTED):
        at = Spot(scene, take, row)
        finding = _row(at)
        found.append(replace(finding, text=f"{_WORDS[row]}: {finding.text}"))
    return found


def _links(spot: Spot) -> Finding:
    rule = "links_back.links"
    closed = number(spot.take.method, "links_closed_count")
    if isinstance(closed, Trouble):
        return troubled(spot, "links_closed_count", closed, rule=rule)
    seen = spot.scene.of_record("visual")
    expected = None if seen is None else value_of(seen.method, "links_found_count")
    said = shown("links_closed_count", closed.value)
    if expected is None:
        text = f"{said} closed; how many were closed before is not recorded."
        return told(spot, "links_closed_count", "refer", text, rule=rule, value=closed.value)
    equal = closed.value == expected
    text = f"{said} closed, {shown('links_found_count', expected)} found closed before the tests."
    finding = told(
        spot, "links_closed_count", "within" if equal else "outside", text, rule=rule, value=closed.value,
        source="as found before the tests", standing="arithmetic",
    )  # fmt: skip
    return replace(finding, limit=expected)


def _row(spot: Spot) -> Finding:
    rule = f"links_back.{spot.row}"
    reading = number(spot.take.row(spot.row), "r_proof_ohm", range_signs=True)
    if isinstance(reading, Trouble):
        return troubled(spot, "r_proof_ohm", reading, rule=rule)
    if spot.row == LOOP:
        return _loop(spot, reading)
    if _cannot_tell(spot.row, reading):
        sign = ">" if reading.over_range else "<"
        text = f"{sign} {shown('r_proof_ohm', reading.value)}: a bound cannot tell. Take another range."
        return told(spot, "r_proof_ohm", "refer", text, rule=rule, value=reading.value)
    doubts = calibration_doubts(spot.scene, (reading.reading,))
    if spot.row == JOINT:
        if reading.over_range:
            return told(spot, "r_proof_ohm", "outside", "Open: the earth is not on.", rule=rule)
        limit = Limit(rule, None, JOINT_OHM, _CUSTOM, _CUSTOM)
        return against_limit(
            spot, "r_proof_ohm", reading.value, limit, doubts=doubts, beyond="refer", guarded=False
        )
    limit = Limit(rule, LIFTED_OHM, None, "1 Mohm by tradition", "from memory")
    if reading.over_range and reading.value >= LIFTED_OHM:
        bound = shown("r_proof_ohm", reading.value)
        text = f"> {bound}: the bound alone reaches 1 MΩ. {standing_words(limit)}"
        return told(
            spot, "r_proof_ohm", "refer" if doubts else "within", " ".join((text, *doubts)), rule=rule,
            value=reading.value, source=limit.source, standing=limit.standing,
        )  # fmt: skip
    return against_limit(spot, "r_proof_ohm", reading.value, limit, doubts=doubts, guarded=False)


def _cannot_tell(row: str, reading: Number) -> bool:
    """Whether a bound lies on the side of the limit where the true value may lie on either."""
    least = JOINT_OHM if row == JOINT else LIFTED_OHM
    if reading.over_range:
        return reading.value < least
    return reading.reading.under_range and reading.value > least


def _loop(spot: Spot, reading: Number) -> Finding:
    rule = "links_back.loop"
    if reading.reading.under_range:
        text = f"< {shown('r_proof_ohm', reading.value)}: is a shorting link left in? Take a finer range."
        return told(spot, "r_proof_ohm", "refer", text, rule=rule, value=reading.value)
    if reading.over_range:
        text = "Open. A core left open destroys itself and can hurt: find the open link."
        return told(spot, "r_proof_ohm", "outside", text, rule=rule, value=reading.value)
    if reading.value <= 0.0:
        text = "Nothing measured: a shorting link left in makes the relay blind."
        return told(spot, "r_proof_ohm", "outside", text, rule=rule, value=reading.value)
    spread = _spread_percent(spot.scene, spot.take)
    if spread is None:
        text = f"{shown('r_proof_ohm', reading.value)}; no sister phase to compare with yet."
        return told(spot, "r_proof_ohm", "refer", text, rule=rule, value=reading.value)
    limit = Limit(rule, -LOOP_PERCENT, LOOP_PERCENT, _CUSTOM, _CUSTOM)
    doubts = calibration_doubts(spot.scene, (reading.reading,))
    return against_limit(
        spot, "r_loop_spread_percent", spread, limit, doubts=doubts, beyond="refer", guarded=False
    )


def _loop_ohm(take: Take | None) -> float | None:
    return None if take is None else value_of(take.row(LOOP), "r_proof_ohm")


def _spread_percent(scene: Scene, take: Take) -> float | None:
    own = _loop_ohm(take)
    takes = [scene.of_record("links_back", core.core_id) for _, core in scene.sisters()]
    others = [ohm for ohm in (_loop_ohm(entry) for entry in takes) if ohm is not None]
    return None if own is None else departure_percent(own, others)
