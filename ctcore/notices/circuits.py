"""The circuit around the core: earths, links, burden, and whether its class suits what it feeds."""

from __future__ import annotations

from ctcore.judgement import burden as judged
from ctcore.judgement.cells import Number, Trouble, number, value_of
from ctcore.judgement.limit import shown
from ctcore.judgement.plate import classes_of
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Sight, listed, phase_words

EARTHS, LINKS, BURDEN, DUTY = "earth_count", "links_unequal", "burden_outside_range", "class_against_duty"
# Words of the trade that tell a duty; what none of them fits is not judged.
PROTECTION_WORDS = ("protection", "differential", "distance", "overcurrent", "earth fault", "relay", "trip")
MEASURING_WORDS = ("meter", "metering", "billing", "measur", "revenue", "tariff", "transducer")


def earth_count(sight: Sight) -> Answer:
    """Secondary earths, as found or as left, that are not one."""
    counts = [
        (test, words, reading.value)
        for test, quantity_id, words in (
            ("visual", "earths_found_count", "found"),
            ("links_back", "earths_left_count", "left"),
        )
        if (take := sight.scene.of_record(test)) is not None
        and isinstance(reading := number(take.method, quantity_id), Number)
    ]
    if not counts:
        return sight.not_judged(EARTHS, "The secondary earths were not counted.")
    found = []
    for test, words, count in counts:
        if count != 1.0:
            why = (
                "Without one the circuit floats." if count < 1.0 else
                "A second one shares stray current with the relay and can trip it on a through-fault."
            )  # fmt: skip
            sentence = (
                f"{phase_words(sight)}: {shown('earths_found_count', count)} secondary earths {words}, there "
                f"is to be one. {why} Where is {'it to be' if count < 1.0 else 'the other'}?"
            )
            figures = (Figure(f"earths {words}", count, "1"),)
            found.append(Notice(EARTHS, (sight.core.core_id,), test, "method", sentence, figures))
    return tuple(found)


def links_unequal(sight: Sight) -> Answer:
    """Links closed at the end that are not as many as were found closed, or lifted."""
    seen, back = sight.scene.of_record("visual"), sight.scene.of_record("links_back")
    closed = None if back is None else value_of(back.method, "links_closed_count")
    found = None if seen is None else value_of(seen.method, "links_found_count")
    lifted = None if seen is None else value_of(seen.method, "links_lifted_count")
    if closed is None or (found is None and lifted is None):
        return sight.not_judged(LINKS, "Links found, lifted or closed again were not counted.")
    before = found if found is not None else lifted
    if closed == before:
        return ()
    sentence = (
        f"{phase_words(sight)}: {shown('links_closed_count', closed)} links closed, "
        f"{shown('links_found_count', before or 0.0)} were "
        f"{'found closed' if found is not None else 'lifted'}. A link left open destroys the core, a "
        "shorting link left in makes the relay blind. Which one is it?"
    )
    figures = (Figure("links closed", closed, "1"), Figure("links before", before or 0.0, "1"))
    return (Notice(LINKS, (sight.core.core_id,), "links_back", "method", sentence, figures),)


def burden_outside_range(sight: Sight) -> Answer:
    """A connected burden above what the class is for, or too light for a measuring class."""
    take, tap = sight.scene.of_record("burden"), judged.tap_in_use(sight.scene)
    classes = classes_of(sight.core)
    if take is None or tap is None or isinstance(classes, Trouble):
        return sight.not_judged(BURDEN, "The burden was not measured, or the plate states no class.")
    reading = judged.measured(sight.scene, take, judged.CONNECTED, tap)
    if isinstance(reading, Trouble):
        return sight.not_judged(BURDEN, reading.text)
    va = tap.i_secondary_rated_a**2 * abs(reading[0])
    found = []
    for accuracy in classes:
        held = judged.range_of(tap, accuracy)
        if held is None:
            continue
        low, high, *_ = held
        if va > high or (low is not None and va < low):
            asked = (
                shown(judged.VA, high)
                if low is None
                else f"{shown(judged.VA, low)} to {shown(judged.VA, high)}"
            )
            effect = (
                "limit factor and accuracy fall" if va > high else
                "its security factor rises, and its errors are not those of the class"
            )  # fmt: skip
            sentence = (
                f"{phase_words(sight)}: {shown(judged.VA, va)} connected, class {accuracy.designation} is "
                f"for {asked}: {effect}. Is all of the circuit connected as it will be?"
            )
            figures = (Figure("connected", va, "VA"), Figure("rated", high, "VA"))
            row = (sight.core.core_id,)
            found.append(Notice(BURDEN, row, "burden", judged.CONNECTED, sentence, figures, take=take.take))
    return tuple(found)


def class_against_duty(sight: Sight) -> Answer:
    """A measuring class on a protection duty, or a protection class on a meter."""
    words = sight.core.duty_text.casefold()
    classes = classes_of(sight.core)
    protects = any(word in words for word in PROTECTION_WORDS)
    measures = any(word in words for word in MEASURING_WORDS)
    if isinstance(classes, Trouble) or protects == measures:
        return sight.not_judged(
            DUTY, "The duty is not stated, or says neither protection nor measuring alone."
        )
    fits = [accuracy for accuracy in classes if accuracy.is_metering == measures]
    if fits:
        return ()
    names = listed([accuracy.designation for accuracy in classes])
    why = (
        "a measuring core saturates in a fault, as its security factor wants" if protects else
        "a protection class sets no limits in the range that a meter works in"
    )  # fmt: skip
    sentence = (
        f"{phase_words(sight)} of class {names} is noted for “{sight.core.duty_text}”: {why}. "
        "Is it wired to the right device?"
    )
    return (Notice(DUTY, (sight.core.core_id,), "", "", sentence, (Figure("class", names, ""),)),)


CIRCUITS = (
    NoticeRow(notice_id=EARTHS, name="secondary earths not one", look=earth_count),
    NoticeRow(notice_id=LINKS, name="links lifted and closed unequal", look=links_unequal),
    NoticeRow(notice_id=BURDEN, name="burden outside its range", look=burden_outside_range),
    NoticeRow(notice_id=DUTY, name="class does not fit the duty", look=class_against_duty),
)
