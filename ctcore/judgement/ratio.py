"""Ratio tests: derived values, polarity, the pair of terminals that a ratio fits, and the class limits."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

from ctcore.findings import Finding
from ctcore.job import Core, Tap
from ctcore.judgement.cells import Trouble
from ctcore.judgement.limit import shown
from ctcore.judgement.memory import remembered
from ctcore.judgement.meter import calibration_doubts
from ctcore.judgement.ratio_class import judge_class
from ctcore.judgement.ratio_reading import RatioReading, polarity_of, ratio_reading
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.procedure import Derived, Scene
from ctcore.takes import Take

# Practice: a ratio within 1 % of a pair is that pair's; common practice, no source.
FITS_PERCENT = 1.0


def looked_at(take: Take) -> tuple[str, ...]:
    """The other tests of the core that a ratio by voltage rests on: what the winding drops."""
    by_voltage = take.method.cell("ratio_method").value_text == "voltage"
    return ("resistance", "excitation") if by_voltage else ()


@remembered(own=looked_at)
def derive(scene: Scene, take: Take) -> list[Derived]:
    """Turns ratio or ratio error, and polarity, for each tap with readings."""
    derived = []
    for tap in scene.core.taps:
        if not take.row(tap.tap_id).cells:
            continue
        found = ratio_reading(scene, take, tap)
        if found.turns_ratio is not None:
            u = found.u_error_percent
            u_turns = None if u is None else found.turns_ratio * u / 100.0
            derived.append(Derived(tap.tap_id, "turns_ratio", found.turns_ratio, u_turns))
            derived.append(
                Derived(tap.tap_id, "turns_ratio_error_percent", found.turns_ratio_error_percent, u)
            )
        if found.ratio_error_percent is not None:
            derived.append(
                Derived(tap.tap_id, "ratio_error_percent", found.ratio_error_percent, found.u_error_percent)
            )
        polarity = polarity_of(take, tap)
        if isinstance(polarity, str):
            derived.append(Derived(tap.tap_id, "polarity", polarity))
    return derived


@remembered(own=looked_at)
def judge(scene: Scene, take: Take) -> list[Finding]:
    """Findings of every tap; a tap without a reading is not tested."""
    core = scene.core
    findings = [finding for tap in core.taps for finding in _judge_tap(Spot(scene, take, tap.tap_id), tap)]
    strangers = [row.row for row in take.rows if core.tap(row.row) is None]
    return findings + [
        told(
            Spot(scene, take, row),
            "turns_ratio",
            "refer",
            "The plate has no such tap.",
            rule="ratio.unknown_tap",
        )
        for row in strangers
    ]


def _judge_tap(spot: Spot, tap: Tap) -> list[Finding]:
    if not spot.take.row(tap.tap_id).cells:
        return [told(spot, "turns_ratio", "not tested", "No reading on this pair.", rule="ratio.reading")]
    found = ratio_reading(spot.scene, spot.take, tap)
    if found.trouble is not None:
        return [troubled(spot, "ratio_method", found.trouble, rule="ratio.reading"), *_polarity(spot, tap)]
    return [*_polarity(spot, tap), _tap_identity(spot, tap, found), *judge_class(spot, tap, found)]


def _polarity(spot: Spot, tap: Tap) -> list[Finding]:
    polarity = polarity_of(spot.take, tap)
    source = "terminal markings on the plate"
    if isinstance(polarity, Trouble):
        return [troubled(spot, "polarity", polarity, rule="ratio.polarity")]
    agrees = polarity == "agrees"
    words = "Polarity agrees with the marking."
    if not agrees:
        words = "Polarity opposes the marking. Are two leads of this core exchanged?"
    finding = told(
        spot,
        "polarity",
        "within" if agrees else "outside",
        words,
        rule="ratio.polarity",
        value=polarity,
        source=source,
    )
    return [replace(finding, limit="agrees")]


def pairs_of(core: Core) -> list[tuple[str, float]]:
    """Every pair of terminals of a core with its turns ratio, as far as the taps of the plate tell.

    The pairs that the plate does not name follow from differences: S1-S2 and S1-S3 give S2-S3.
    """
    place: dict[str, float] = {}
    ends = [(tap.terminals_text.replace("–", "-").split("-"), tap.ns_over_np_ratio) for tap in core.taps]
    waiting = [(pair[0].strip(), pair[1].strip(), turns) for pair, turns in ends if len(pair) == 2]
    if waiting:
        place[waiting[0][0]] = 0.0
    for _ in range(len(waiting)):
        for first, last, turns in waiting:
            if first in place:
                place.setdefault(last, place[first] + turns)
            elif last in place:
                place[first] = place[last] - turns
    named = {tap.terminals_text for tap in core.taps}
    own = [(tap.terminals_text, tap.ns_over_np_ratio) for tap in core.taps]
    between = [
        (f"{first}-{last}", abs(place[last] - place[first]))
        for first, last in combinations(sorted(place, key=place.__getitem__), 2)
    ]
    return own + [(name, turns) for name, turns in between if name not in named and turns > 0.0]


def _tap_identity(spot: Spot, tap: Tap, found: RatioReading) -> Finding:
    """Whether the ratio is that of this pair, and which other pair it fits if not."""
    measured = found.turns_ratio if found.turns_ratio is not None else found.true_ratio
    rated = tap.ns_over_np_ratio if found.turns_ratio is not None else tap.k_rated_ratio
    rule = "ratio.tap"
    if measured is None:
        return told(spot, "turns_ratio", "not tested", "No ratio to tell the pair from.", rule=rule)
    own_percent = 100.0 * abs(measured / rated - 1.0)
    source = "common practice, no source"
    figure = shown("turns_ratio", measured)
    others = [
        (abs(measured / turns - 1.0), name)
        for name, turns in pairs_of(spot.scene.core)
        if name != tap.terminals_text and 100.0 * abs(measured / turns - 1.0) <= FITS_PERCENT
    ]
    if own_percent <= FITS_PERCENT:
        doubts = calibration_doubts(spot.scene, found.readings)
        names = ", ".join(dict.fromkeys(name for _, name in sorted(others)))
        shared = [f"It is that of {names} as well: the ratio does not tell which pair."] if others else []
        return told(
            spot,
            "turns_ratio",
            "refer" if doubts else "within",
            " ".join((f"The ratio {figure} is that of {tap.terminals_text}.", *shared, *doubts)),
            rule=rule,
            value=measured,
            source=source,
            standing="common practice, no source",
        )
    off = shown("r_departure_percent", 100.0 * (measured / rated - 1.0))
    departs = f"The ratio {figure} is {off} from {tap.terminals_text}"
    if others:
        name = min(others)[1]
        return told(
            spot,
            "turns_ratio",
            "outside",
            f"{departs} and fits {name}. Was {name} tested, or is it wired there?",
            rule=rule,
            value=measured,
            source=source,
            standing="common practice, no source",
        )
    return told(
        spot,
        "turns_ratio",
        "refer",
        f"{departs} and fits no other pair of this core.",
        rule=rule,
        value=measured,
        source=source,
        standing="common practice, no source",
    )
