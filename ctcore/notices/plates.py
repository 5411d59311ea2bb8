"""Plates that contradict themselves, their sisters, or what was measured."""

from __future__ import annotations

import math

from ctcore import limiting
from ctcore.burden import from_rating
from ctcore.errors import BadInput
from ctcore.judgement.cells import Trouble
from ctcore.judgement.limit import shown
from ctcore.judgement.plate import classes_of, plate_trouble, rct_limit_ohm
from ctcore.nameplate import AccuracyClass
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Curved, Sight, phase_words
from ctcore.standards import power_factor_of_test

PLATE, FACTOR, TURNS = "plate_contradiction", "other_limit_factor", "curves_against_turns"
# Practice: turns differ from the rated ratio by a per cent or two of correction; common practice, no source.
TURNS_PERCENT = 3.0
# Source: standard accuracy limit factors, IEC 61869-2:2012.
FACTORS = (5.0, 10.0, 15.0, 20.0, 30.0)
# Practice: volts per turn of the taps of one core agree within 5 %; common practice, no source.
ONE_LINE_PERCENT = 5.0


def plate_contradiction(sight: Sight) -> Answer:
    """Turns against rated currents, ohms that are the VA, and a class unlike that of the sister phases."""
    if plate_trouble(sight.core) is not None:
        return sight.not_judged(PLATE, "The plate names no terminals, or impossible sizes.")
    classes = classes_of(sight.core)
    if isinstance(classes, Trouble):
        return sight.not_judged(PLATE, classes.text)
    reasons = [*_turns(sight), *_ohms(sight, classes), *_sisters(sight)]
    return tuple(
        Notice(PLATE, (sight.core.core_id,), "", "", f"{phase_words(sight)}: {words}", figures)
        for words, figures in reasons
    )


_Reason = tuple[str, tuple[Figure, ...]]


def _turns(sight: Sight) -> list[_Reason]:
    found: list[_Reason] = []
    for tap in sight.core.taps:
        off = 100.0 * (tap.ns_over_np_ratio / tap.k_rated_ratio - 1.0)
        if abs(off) > TURNS_PERCENT:
            words = (
                f"{tap.terminals_text} is rated {tap.i_primary_rated_a:g}/{tap.i_secondary_rated_a:g} A, a "
                f"ratio of {tap.k_rated_ratio:g}, and has {tap.ns_over_np_ratio:g} turns. Which of them was "
                "misread?"
            )
            figures = (
                Figure("rated ratio", tap.k_rated_ratio, "1"),
                Figure("turns", tap.ns_over_np_ratio, "1"),
            )
            found.append((words, figures))
    return found


def _ohms(sight: Sight, classes: tuple[AccuracyClass, ...]) -> list[_Reason]:
    """Rct on the plate that equals the VA, where the winding measures otherwise."""
    plate, winding = rct_limit_ohm(sight.core), sight.winding(sight.core.full_tap)
    if plate is None or winding is None or winding.r_75degc_ohm is None:
        return []
    measured = winding.r_75degc_ohm
    outputs = [accuracy.output_va for accuracy in classes if accuracy.output_va is not None]
    if plate not in outputs or 0.5 <= measured / plate <= 1.3:
        return []
    words = (
        f"the plate is keyed with {shown('r_winding_ohm', plate)} of winding and {plate:g} VA of burden, and "
        f"the winding measures {shown('r_winding_75degc_ohm', measured)} at 75 °C. Was the burden read as "
        "the resistance?"
    )
    return [(words, (Figure("Rct on the plate", plate, "ohm"), Figure("measured", measured, "ohm")))]


def _sisters(sight: Sight) -> list[_Reason]:
    """A class that stands alone among the phases of its number."""
    texts = [(one, one.core.class_text.replace(" ", "")) for one in sight.set_of_phases()]
    own = sight.core.class_text.replace(" ", "")
    others = [text for one, text in texts if one.core.core_id != sight.core.core_id]
    if len(others) < 2 or own in others or len(set(others)) > 1:
        return []
    other = next(one for one, text in texts if text == others[0])
    words = (
        f"its plate is keyed as {sight.core.class_text}, that of the other phases as "
        f"{other.core.class_text}. Was it misread?"
    )
    return [
        (words, (Figure("class", sight.core.class_text, ""), Figure("others", other.core.class_text, "")))
    ]


def other_limit_factor(sight: Sight) -> Answer:
    """A curve that reaches the class at a smaller standard limit factor than the plate has: 5P10 for 5P20."""
    classes = classes_of(sight.core)
    if isinstance(classes, Trouble) or plate_trouble(sight.core) is not None:
        return sight.not_judged(FACTOR, "The plate states no class or no terminals.")
    wanted = [
        entry for entry in classes if entry.family in ("protection", "protection_pr") and entry.limit_factor
    ]
    curves = [entry for entry in sight.curved() if entry.tap is sight.core.full_tap]
    winding = sight.winding(sight.core.full_tap)
    if not wanted or not curves or winding is None or winding.r_75degc_ohm is None:
        return sight.not_judged(FACTOR, "No class with a limit factor, or curve or resistance are missing.")
    found = []
    for accuracy in wanted:
        reached = _reached(sight, curves[-1], accuracy, winding.r_75degc_ohm)
        lower = [factor for factor in FACTORS if accuracy.limit_factor and factor < accuracy.limit_factor]
        if reached is None or not lower or accuracy.limit_factor is None or reached >= accuracy.limit_factor:
            continue
        fits = max((factor for factor in lower if factor <= reached), default=None)
        if fits is not None:
            name = accuracy.class_name
            sentence = (
                f"{phase_words(sight)}: with its rated burden the curve holds up to a factor of "
                f"{reached:.1f}; that is short of {accuracy.designation} and does for {name}{fits:g}. Was "
                f"{name}{fits:g} read as {accuracy.designation}?"
            )
            figures = (
                Figure("factor reached", reached, "1"),
                Figure("factor on the plate", accuracy.limit_factor, "1"),
            )
            found.append(Notice(FACTOR, (sight.core.core_id,), "excitation", "", sentence, figures))
    return tuple(found)


def _reached(sight: Sight, curved: Curved, accuracy: AccuracyClass, r_75_ohm: float) -> float | None:
    if curved.view.curve is None or accuracy.output_va is None:
        return None
    i_rated = sight.core.full_tap.i_secondary_rated_a
    z = complex(from_rating(accuracy.output_va, i_rated, power_factor_of_test(accuracy.output_va)))
    percent = 5.0 if accuracy.class_name.startswith("5") else 10.0
    try:
        return float(limiting.operating_factor(curved.view.curve, i_rated, r_75_ohm, z, percent))
    except BadInput:
        return None


def curves_against_turns(sight: Sight) -> Answer:
    """Curves of several taps that do not fall on one line of volts per turn against ampere-turns."""
    curves = sight.curved()
    if len({entry.tap.tap_id for entry in curves}) < 2:
        return sight.not_judged(TURNS, "Curves of two taps are needed.")
    first = max(curves, key=lambda entry: entry.tap.ns_over_np_ratio)
    found = []
    for entry in curves:
        off = _off_line_percent(first, entry)
        if entry is not first and off is not None and abs(off) > ONE_LINE_PERCENT:
            sentence = (
                f"{phase_words(sight)}: per turn, the curve at {entry.tap.terminals_text} lies "
                f"{shown('r_departure_percent', off)} in volts from that at {first.tap.terminals_text}; taps "
                "of one core fall on one line. Were other terminals fed, or are the turns of the plate "
                "misread?"
            )
            figures = (Figure("volts per turn off", off, "percent"),)
            row = (sight.core.core_id,)
            found.append(Notice(TURNS, row, "excitation", "", sentence, figures, take=entry.take.take))
    return tuple(found)


def _off_line_percent(first: Curved, other: Curved) -> float | None:
    """Volts per turn of the other against the first at equal ampere-turns: the middle one."""
    n1, n2 = first.tap.ns_over_np_ratio, other.tap.ns_over_np_ratio
    own = [(point.current_a * n2, point.voltage_v / n2) for point in other.view.kept]
    shared = [
        (amps, volts, found) for amps, volts in own if (found := _volts_at(first, amps / n1)) is not None
    ]
    if len(shared) < 3:
        return None
    offs = sorted(math.log(volts / (found / n1)) for _, volts, found in shared)
    return 100.0 * (math.exp(offs[len(offs) // 2]) - 1.0)


def _volts_at(curved: Curved, current_a: float) -> float | None:
    if curved.view.curve is None:
        return None
    try:
        return float(curved.view.curve.voltage_v(current_a))
    except BadInput:
        return None


PLATES = (
    NoticeRow(notice_id=PLATE, name="plate contradicts itself", look=plate_contradiction),
    NoticeRow(notice_id=FACTOR, name="another limit factor fits", look=other_limit_factor),
    NoticeRow(notice_id=TURNS, name="curves do not follow the turns", look=curves_against_turns),
)
