"""Polarity by a kick of direct current: up on make and down on break agrees with the marking."""

from __future__ import annotations

from dataclasses import replace

from ctcore.findings import Finding
from ctcore.judgement.cells import Trouble, choice
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.procedure import Derived, Scene
from ctcore.takes import Row, Take

_POLARITY = {("up", "down"): "agrees", ("down", "up"): "opposes"}


def polarity_of_kick(row: Row) -> str | Trouble:
    """The word "agrees" or "opposes" of one pair of terminals, or why it is not known."""
    make, on_break = choice(row, "kick_make"), choice(row, "kick_break")
    if isinstance(make, Trouble):
        return make
    if isinstance(on_break, Trouble):
        return on_break
    found = _POLARITY.get((make, on_break))
    if found is None:
        return Trouble("refer", "Make and break do not kick opposite ways. Kick again, with a finer range.")
    return found


def derive(scene: Scene, take: Take) -> list[Derived]:
    """The polarity of each pair that was kicked."""
    found = [(tap.tap_id, polarity_of_kick(take.row(tap.tap_id))) for tap in scene.core.taps]
    return [Derived(row, "polarity", word) for row, word in found if isinstance(word, str)]


def judge(scene: Scene, take: Take) -> list[Finding]:
    """One finding for the tap in use and for every other that was kicked."""
    core = scene.core
    wanted = core.service_tap_id or core.full_tap.tap_id
    rows = [tap.tap_id for tap in core.taps if tap.tap_id == wanted or take.row(tap.tap_id).cells]
    return [_judge_row(Spot(scene, take, row)) for row in rows]


def _judge_row(spot: Spot) -> Finding:
    polarity = polarity_of_kick(spot.take.row(spot.row))
    if isinstance(polarity, Trouble):
        return troubled(spot, "polarity", polarity, rule="kick.polarity")
    agrees = polarity == "agrees"
    words = (
        "Polarity agrees with the marking." if agrees else "Polarity opposes the marking. Leads exchanged?"
    )
    finding = told(
        spot, "polarity", "within" if agrees else "outside", words, rule="kick.polarity", value=polarity,
        source="terminal markings on the plate",
    )  # fmt: skip
    return replace(finding, limit="agrees")
