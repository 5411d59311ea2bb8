"""Readings under the wrong name: two cores of a transformer exchanged, two serial numbers exchanged."""

from __future__ import annotations

import math
from itertools import combinations
from statistics import median

from ctcore.judgement.excitation_targets import voltage_wanted_v
from ctcore.judgement.limit import shown
from ctcore.judgement.plate import classes_of
from ctcore.judgement.winding import winding_of_record
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Sight

CORES, SERIALS = "swapped_cores", "swapped_serials"
# Practice: a core fits within 15 % and does not beyond 30 %; common practice, no source.
FITS_LOG, OFF_LOG = math.log(1.15), math.log(1.3)
AT_75 = "r_winding_75degc_ohm"


def _traits(sight: Sight) -> dict[str, float]:
    """Knee and resistance of the whole winding, as far as they are known."""
    found: dict[str, float] = {}
    if not sight.core.taps:
        return found
    tap = sight.core.full_tap
    knees = [entry.knee_v for entry in sight.curved() if entry.tap is tap and entry.knee_v is not None]
    if knees:
        found["v_knee_iec_v"] = knees[0]
    winding = sight.winding(tap)
    if winding is not None and winding.r_75degc_ohm is not None:
        found[AT_75] = winding.r_75degc_ohm
    return found


def _of_sisters(sight: Sight) -> dict[str, float]:
    traits = [_traits(sister) for sister in sight.sisters()]
    names = {name for entry in traits for name in entry}
    return {name: median([entry[name] for entry in traits if name in entry]) for name in names}


def _off(one: dict[str, float], other: dict[str, float]) -> float | None:
    """The largest distance of two sets of traits, as a logarithm; None where they share none."""
    shared = [abs(math.log(one[name] / other[name])) for name in one if name in other]
    return max(shared, default=None)


def swapped_cores(sight: Sight) -> Answer:
    """Two cores of one transformer that each fit the other's pattern and not their own."""
    others = [one for one in sight.cores_of_transformer() if one.core.core_id != sight.core.core_id]
    if not others or not _traits(sight):
        return sight.not_judged(CORES, "One core only, or neither knee nor resistance of it is known.")
    pairs = [(sight, other) if sight.core.number < other.core.number else (other, sight) for other in others]
    found = [_swapped(first, second) for first, second in pairs]
    return tuple(notice for notice in found if notice is not None)


def _swapped(first: Sight, second: Sight) -> Notice | None:
    words = _by_sisters(first, second) or _by_class(first, second)
    if words is None:
        return None
    own, other = _traits(first), _traits(second)
    figures = tuple(
        Figure(f"{shown_name} of core {one.core.number}", traits[name], unit)
        for one, traits in ((first, own), (second, other))
        for name, shown_name, unit in (("v_knee_iec_v", "knee", "V"), (AT_75, "resistance", "ohm"))
        if name in traits
    )
    cores = (first.core.core_id, second.core.core_id)
    return Notice(CORES, cores, "excitation", "", f"{words} Were their leads exchanged?", figures)


def _by_sisters(first: Sight, second: Sight) -> str | None:
    own, other = _traits(first), _traits(second)
    model, other_model = _of_sisters(first), _of_sisters(second)
    distances = [_off(own, model), _off(other, other_model), _off(own, other_model), _off(other, model)]
    if any(distance is None for distance in distances):
        return None
    own_off, other_off, crossed, crossed_back = (float(entry or 0.0) for entry in distances)
    if min(own_off, other_off) < OFF_LOG or max(crossed, crossed_back) > FITS_LOG:
        return None
    phase = first.scene.ct.phase_text
    return (
        f"{phase}: core {first.core.number} measures as core {second.core.number} of the sister phases does, "
        "and the other way round; under their own numbers they are off by "
        f"{100 * (math.exp(own_off) - 1):.0f} % and {100 * (math.exp(other_off) - 1):.0f} %."
    )


def _by_class(first: Sight, second: Sight) -> str | None:
    """A measuring core whose knee would do for protection beside a protection core whose knee would not."""
    measuring, protecting = (first, second) if _measures(first) else (second, first)
    if not _measures(measuring) or _measures(protecting):
        return None
    knees = [_traits(one).get("v_knee_iec_v") for one in (measuring, protecting)]
    limits = [voltage_wanted_v(one.scene, one.core.full_tap) for one in (measuring, protecting)]
    if any(entry is None for entry in (*knees, *limits)):
        return None
    (knee_m, knee_p), (limit_m, limit_p) = knees, limits
    assert knee_m is not None and knee_p is not None and limit_m is not None and limit_p is not None  # noqa: PT018
    if not (knee_m > limit_m and knee_p < limit_p and knee_m >= limit_p and knee_p <= limit_m):
        return None
    return (
        f"{first.scene.ct.phase_text}: the measuring core {measuring.core.number} has its knee at "
        f"{shown('v_knee_iec_v', knee_m)}, the protection core {protecting.core.number} at "
        f"{shown('v_knee_iec_v', knee_p)}; each would fit the plate of the other."
    )


def _measures(sight: Sight) -> bool:
    classes = classes_of(sight.core)
    return isinstance(classes, tuple) and any(entry.is_metering for entry in classes)


def swapped_serials(sight: Sight) -> Answer:
    """Two phases whose results fit each other's certificate or earlier test better than their own."""
    sisters = sight.set_of_phases()
    histories = {one.core.core_id: _history(one) for one in sisters}
    results = {one.core.core_id: _traits_by_tap(one) for one in sisters}
    known = [one for one in sisters if histories[one.core.core_id] and results[one.core.core_id]]
    if sight.core.core_id not in {one.core.core_id for one in known} or len(known) < 2:
        return sight.not_judged(SERIALS, "Fewer than two phases have a certificate or an earlier test.")
    found = []
    for first, second in combinations(known, 2):
        a, b = first.core.core_id, second.core.core_id
        if sight.core.core_id not in (a, b):
            continue
        straight = [_off(results[one], histories[one]) for one in (a, b)]
        crossed = [_off(results[a], histories[b]), _off(results[b], histories[a])]
        if None in straight or None in crossed:
            continue
        # Practice: crossed within 1 %, straight off by 3 %: no instrument explains that; common practice, no
        # source.
        if (
            max(float(entry or 0.0) for entry in crossed) < 0.01
            and min(float(entry or 0.0) for entry in straight) > 0.03
        ):
            found.append(_serials(first, second, [float(entry or 0.0) for entry in straight]))
    return tuple(found)


def _history(sight: Sight) -> dict[str, float]:
    return {
        f"{entry.quantity_id} {entry.row}": entry.value
        for entry in sight.job.references.values
        if entry.core_id == sight.core.core_id and entry.value > 0.0 and entry.quantity_id == AT_75
    }


def _traits_by_tap(sight: Sight) -> dict[str, float]:
    found = {}
    for tap in sight.core.taps:
        record = winding_of_record(sight.scene, sight.core, tap)
        if record is not None and record[0].r_75degc_ohm is not None:
            found[f"{AT_75} {tap.tap_id}"] = record[0].r_75degc_ohm
    return found


def _serials(first: Sight, second: Sight, straight: list[float]) -> Notice:
    names = [one.scene.ct.phase_text for one in (first, second)]
    serials = [one.scene.ct.serial_text or "no serial" for one in (first, second)]
    percent = 100.0 * (math.exp(max(straight)) - 1.0)
    sentence = (
        f"Core {first.core.number}: {names[0]} ({serials[0]}) measures as {names[1]} ({serials[1]}) did "
        "before, and the other way round, within 1 %; under their own serial numbers they are off by up to "
        f"{percent:.1f} %. Are the serial numbers exchanged?"
    )
    figures = (Figure("off by its own history", percent, "percent"),)
    cores = (first.core.core_id, second.core.core_id)
    return Notice(SERIALS, cores, "resistance", "", sentence, figures)


SWAPS = (
    NoticeRow(notice_id=CORES, name="cores exchanged", look=swapped_cores),
    NoticeRow(notice_id=SERIALS, name="serial numbers exchanged", look=swapped_serials),
)
