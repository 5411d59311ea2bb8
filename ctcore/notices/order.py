"""The order of the tests: what was done before that which it relies on, and what the core saw last."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from ctcore.judgement.times import began, ended
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Sight, listed, phase_words
from ctcore.procedures import planned, procedure
from ctcore.takes import Take

DC_AFTER, LEFT_MAGNETISED = "dc_after_demagnetising", "left_magnetised"
OUT_OF_ORDER, INJECTED_LAST = "out_of_order", "injected_last"
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


@dataclass(frozen=True, slots=True)
class _Departure:
    """A test that is to be done before others; `why` it matters, and what to `ask`."""

    first: str
    then: tuple[str, ...]
    why: str
    ask: str
    wants_plan: bool = False


_FED: Final = ("resistance", "kick", "demagnetising", "ratio", "excitation")
# Practice: the order of a day of testing; common practice, no source. Demagnetising before the excitation
# test is asked for by IEEE C57.13.1 (from memory).
_DEPARTURES: Final = (
    _Departure(
        "insulation", _FED,
        "Insulation is the cheapest proof that it is safe to put volts on.",
        "Was it proved in another way before?",
    ),
    _Departure(
        "demagnetising", ("ratio", "excitation"),
        "Remanence raises the errors and shifts the low end of the curve.",
        "Demagnetise and take it again?", wants_plan=True,
    ),
    _Departure(
        "links_back", ("injection", "load"),
        "A secondary left open under primary current drives kilovolts at the box.",
        "Were links and earth proved before any current?",
    ),
)  # fmt: skip


def out_of_order(sight: Sight) -> Answer:
    """Tests that were begun before the one that they rely on, or after the links had been counted back."""
    if not any(_takes(sight, name) for name in (*_FED, "injection", "load")):
        return sight.not_judged(OUT_OF_ORDER, "No test with a given order is recorded for this core.")
    found = [_early(sight, departure) for departure in _DEPARTURES]
    return tuple(notice for notice in (*found, _after_links(sight)) if notice is not None)


def _early(sight: Sight, departure: _Departure) -> Notice | None:
    """The first test that did not wait for another one; None where that is neither planned nor recorded."""
    proofs = _takes(sight, departure.first)
    plan = {test.procedure_id for test in planned(sight.core)} if departure.wants_plan else set()
    if not proofs and departure.first not in plan:
        return None
    proved = min((ended(take) for take in proofs), default="")
    early = [
        (began(take), name, take)
        for name in departure.then
        for take in sight.takes_of_record(name)
        if (not proved or began(take) < proved) and not _says_demagnetised(departure, take)
    ]
    if not early:
        return None
    at, name, take = min(early, key=lambda entry: entry[:2])
    wanted = procedure(departure.first).name.lower()
    sentence = (
        f"{phase_words(sight)}: {procedure(name).name.lower()} was begun before {wanted}. {departure.why} "
        f"{departure.ask}"
    )
    figures = [Figure(f"{name} began at", at)]
    figures += [Figure(f"{departure.first} ended at", proved)] if proved else []
    return Notice(
        OUT_OF_ORDER, (sight.core.core_id,), name, "", sentence, tuple(figures), take=take.take
    )  # fmt: skip


def _says_demagnetised(departure: _Departure, take: Take) -> bool:
    """Whether a curve says by itself that its core was demagnetised before."""
    answer = take.method.cell("demagnetised").value_text
    return departure.first == "demagnetising" and answer is not None and answer.startswith("yes")


def _after_links(sight: Sight) -> Notice | None:
    """Tests that want the links lifted, begun after these were counted back for the last time."""
    back = _takes(sight, "links_back")
    if not back:
        return None
    closed = ended(back[-1])
    late = [(began(take), name) for name in _FED for take in _takes(sight, name) if began(take) > closed]
    if not late:
        return None
    at, name = min(late)
    sentence = (
        f"{phase_words(sight)}: {procedure(name).name.lower()} was begun after the links had been counted "
        "back. Whatever was lifted for it may be open still. Count links and earth once more?"
    )
    figures = (Figure("links back at", closed), Figure(f"{name} began at", at))
    return Notice(OUT_OF_ORDER, (sight.core.core_id,), "links_back", "", sentence, figures)


def injected_last(sight: Sight) -> Answer:
    """Primary current as the last that a core saw after it had been demagnetised."""
    injected = _takes(sight, "injection")
    cleared = [ended(take) for test in ("demagnetising", "excitation") for take in _takes(sight, test)]
    if not injected or not cleared:
        return sight.not_judged(INJECTED_LAST, "Primary injection or demagnetising is not recorded.")
    at = ended(injected[-1])
    if at <= max(cleared):
        return ()
    sentence = (
        f"{phase_words(sight)}: primary injection was the last test, and nothing demagnetised the core after "
        "it. Current that is broken off leaves remanence, which load never removes. Was every current run "
        "down to zero, or is the core demagnetised once more?"
    )
    figures = (Figure("primary injection", at), Figure("last demagnetised", max(cleared)))
    return (Notice(INJECTED_LAST, (sight.core.core_id,), "injection", "", sentence, figures),)


ORDER = (
    NoticeRow(notice_id=DC_AFTER, name="direct current after demagnetising", look=dc_after_demagnetising),
    NoticeRow(notice_id=LEFT_MAGNETISED, name="core left magnetised", look=left_magnetised),
    NoticeRow(notice_id=OUT_OF_ORDER, name="tests out of their order", look=out_of_order),
    NoticeRow(notice_id=INJECTED_LAST, name="primary current last", look=injected_last),
)
