"""Readings that fit another pair of terminals of the core than the one they were keyed for."""

from __future__ import annotations

from math import log
from statistics import median

from ctcore.job import Tap
from ctcore.judgement.limit import shown
from ctcore.judgement.plate import plate_trouble
from ctcore.judgement.ratio import FITS_PERCENT, pairs_of
from ctcore.judgement.ratio_reading import ratio_reading
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Curved, Sight, geometric_steps

WRONG_TAP = "wrong_tap"
# Practice: sister curves lie within 5 % in volts; common practice, no source.
SAME_CURVE_REL = 0.05
_PLACES = 12


def wrong_tap(sight: Sight) -> Answer:
    """Ratios that are another pair's within 1 %, and curves that fall on the sisters' by its turns."""
    if plate_trouble(sight.core) is not None or len(pairs_of(sight.core)) < 2:
        return sight.not_judged(WRONG_TAP, "The plate names one pair of terminals only.")
    takes = sight.takes_of_record("ratio")
    ratios = [
        (take.take, tap, turns)
        for take in takes
        for tap in sight.core.taps
        if (turns := _measured(sight, take.take, tap)) is not None
    ]
    curves = [
        (curved, found) for curved in sight.curved() if (found := _volts_rel(sight, curved)) is not None
    ]
    if not ratios and not curves:
        return sight.not_judged(WRONG_TAP, "Neither a ratio nor a curve that a sister phase has too.")
    by_ratio = [_by_ratio(sight, take, tap, turns) for take, tap, turns in ratios]
    by_curve = [_by_curve(sight, curved, volts) for curved, volts in curves]
    return tuple(notice for notice in (*by_ratio, *by_curve) if notice is not None)


def _measured(sight: Sight, number: int, tap: Tap) -> float | None:
    take = next(entry for entry in sight.takes_of_record("ratio") if entry.take == number)
    found = ratio_reading(sight.scene, take, tap)
    if found.turns_ratio is not None:
        return found.turns_ratio
    # A ratio of currents belongs to the rated ratio: brought to turns, so that it can be held against them.
    return None if found.true_ratio is None else found.true_ratio / tap.k_rated_ratio * tap.ns_over_np_ratio


def _others(sight: Sight, tap: Tap) -> list[tuple[str, float]]:
    return [(name, turns) for name, turns in pairs_of(sight.core) if name != tap.terminals_text]


def _by_ratio(sight: Sight, take: int, tap: Tap, measured: float) -> Notice | None:
    own_percent = 100.0 * (measured / tap.ns_over_np_ratio - 1.0)
    if abs(own_percent) <= FITS_PERCENT:
        return None
    fits = [
        (abs(measured / turns - 1.0), name, turns)
        for name, turns in _others(sight, tap)
        if 100.0 * abs(measured / turns - 1.0) <= FITS_PERCENT
    ]
    if not fits:
        return None
    _, name, turns = min(fits)
    sentence = (
        f"The ratio {shown('turns_ratio', measured)} keyed for {tap.terminals_text} is "
        f"{shown('r_departure_percent', own_percent)} from its {shown('turns_ratio', tap.ns_over_np_ratio)}, "
        f"but that of {name}, {shown('turns_ratio', turns)}. Were the leads on {name}?"
    )
    figures = (
        Figure("ratio as read", measured, "1"),
        Figure(f"turns of {tap.terminals_text}", tap.ns_over_np_ratio, "1"),
        Figure(f"turns of {name}", turns, "1"),
    )
    return Notice(WRONG_TAP, (sight.core.core_id,), "ratio", tap.tap_id, sentence, figures, take=take)


def _volts_rel(sight: Sight, curved: Curved) -> float | None:
    """How many times the sisters' volts this curve has, compared at equal ampere-turns of one pair; None
    without a sister that overlaps."""
    alike = sight.alike(curved)
    if not alike or curved.knee_v is None:
        return None
    knees = [other.knee_v for other in alike if other.knee_v is not None]
    return curved.knee_v / median(knees) if knees else None


def _by_curve(sight: Sight, curved: Curved, volts_rel: float) -> Notice | None:
    if abs(log(volts_rel)) <= 2.0 * SAME_CURVE_REL:
        return None
    own = curved.tap.ns_over_np_ratio
    fits = [
        (abs(log(volts_rel * own / turns)), name, turns)
        for name, turns in _others(sight, curved.tap)
        if abs(log(volts_rel * own / turns)) <= SAME_CURVE_REL and _same_by_turns(sight, curved, turns / own)
    ]
    if not fits:
        return None
    _, name, turns = min(fits)
    sentence = (
        f"The curve keyed for {curved.tap.terminals_text} has its knee at {volts_rel:.2f} times that of the "
        f"sister phases; fed at {name}, with {shown('turns_ratio', turns)} turns, it would fall on theirs. "
        f"Was it fed at {name}?"
    )
    figures = (
        Figure("knee over that of the sisters", volts_rel, "1"),
        Figure(f"turns of {name} over turns of {curved.tap.terminals_text}", turns / own, "1"),
    )
    row = (sight.core.core_id,)
    return Notice(WRONG_TAP, row, "excitation", "", sentence, figures, take=curved.take.take)


def _same_by_turns(sight: Sight, curved: Curved, turns_rel: float) -> bool:
    """Whether volts per turn and ampere-turns of the curve fall on the first sister's."""
    other = sight.alike(curved)[0]
    low, high = (max(curved.first_v / turns_rel, other.first_v), min(curved.last_v / turns_rel, other.last_v))
    if low >= high:
        return False
    pairs = [
        (curved.current_a(volts * turns_rel), other.current_a(volts))
        for volts in geometric_steps(low * 1.001, high * 0.999, _PLACES)
    ]
    ratios = [mine * turns_rel / theirs for mine, theirs in pairs if mine is not None and theirs is not None]
    # Practice: exciting currents of sisters agree within a factor of 1.4; common practice, no source.
    return bool(ratios) and 1.0 / 1.4 < median(ratios) < 1.4


TERMINALS = (NoticeRow(notice_id=WRONG_TAP, name="readings of another pair of terminals", look=wrong_tap),)
