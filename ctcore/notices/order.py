"""The order of the tests: direct current in a core between demagnetising and what relies on it."""

from __future__ import annotations

from ctcore.judgement.times import began, ended
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Sight, listed, phase_words
from ctcore.takes import Take

DC_AFTER, LEFT_MAGNETISED = "dc_after_demagnetising", "left_magnetised"
_DC = {"resistance": "winding resistance", "kick": "polarity by kick"}
_MEASURED = {"ratio": "the ratio test", "excitation": "the excitation test"}


def _takes(sight: Sight, procedure_id: str) -> tuple[Take, ...]:
    return sight.scene.takes.get((sight.core.core_id, procedure_id), ())


def _direct(sight: Sight) -> list[tuple[str, str]]:
    """End and name of every test that sent direct current through this core, in order of time."""
    return sorted((ended(take), name) for test, name in _DC.items() for take in _takes(sight, test))


def dc_after_demagnetising(sight: Sight) -> Answer:
    """A resistance test or a kick between demagnetising and the ratio or the curve that relied on it."""
    cleared = [ended(take) for take in _takes(sight, "demagnetising")]
    if not cleared:
        return sight.not_judged(DC_AFTER, "No demagnetising is recorded for this core.")
    direct = _direct(sight)
    found = []
    for test, words in _MEASURED.items():
        for take in sight.takes_of_record(test):
            before = [at for at in cleared if at <= began(take)]
            between = [name for at, name in direct if before and before[-1] < at <= began(take)]
            if between:
                sentence = (
                    f"{phase_words(sight)}: direct current ({listed(sorted(set(between)))}) between "
                    f"demagnetising and {words}, which then sees a magnetised core. Demagnetise and take "
                    f"{words} again?"
                )
                figures = (Figure("demagnetised at", before[-1]), Figure("test began at", began(take)))
                row = (sight.core.core_id,)
                found.append(Notice(DC_AFTER, row, test, "", sentence, figures, take=take.take))
    return tuple(found)


def left_magnetised(sight: Sight) -> Answer:
    """Direct current as the last that a core saw: no curve run down to zero, no demagnetising after it."""
    direct = _direct(sight)
    if not direct:
        return sight.not_judged(LEFT_MAGNETISED, "No test with direct current is recorded for this core.")
    # Practice: a curve that is run down to zero demagnetises; common practice, no source.
    cleared = [ended(take) for test in ("demagnetising", "excitation") for take in _takes(sight, test)]
    if not cleared:
        return sight.not_judged(LEFT_MAGNETISED, "Neither demagnetising nor a curve is recorded yet.")
    at, name = direct[-1]
    if max(cleared) >= at:
        return ()
    sentence = (
        f"{phase_words(sight)}: {name} at {at} was the last test, and nothing demagnetised the core after "
        "it. Load never removes remanence from a protection core. Demagnetise before it goes into service?"
    )
    figures = (Figure("last direct current", at), Figure("last demagnetised", max(cleared)))
    return (Notice(LEFT_MAGNETISED, (sight.core.core_id,), "demagnetising", "", sentence, figures),)


ORDER = (
    NoticeRow(notice_id=DC_AFTER, name="direct current after demagnetising", look=dc_after_demagnetising),
    NoticeRow(notice_id=LEFT_MAGNETISED, name="core left magnetised", look=left_magnetised),
)
