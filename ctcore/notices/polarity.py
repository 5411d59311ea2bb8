"""Polarity of the phases against each other: one turned round, or all of them."""

from __future__ import annotations

from ctcore.judgement.kick import polarity_of_kick
from ctcore.judgement.ratio_reading import polarity_of
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Sight, listed

REVERSED_PHASE, REVERSED_ALL = "reversed_phase", "reversed_all"


def _polarity(sight: Sight) -> str | None:
    """The polarity of a core by its ratio test or its kick; None where there is none, or they disagree."""
    found = [polarity_of(take, tap) for take in sight.takes_of_record("ratio") for tap in sight.core.taps]
    found += [
        polarity_of_kick(take.row(tap.tap_id))
        for take in sight.takes_of_record("kick")
        for tap in sight.core.taps
    ]
    words = {entry for entry in found if entry in ("agrees", "opposes")}
    return str(words.pop()) if len(words) == 1 else None


def _phases(sight: Sight) -> list[tuple[Sight, str]]:
    return [(one, polarity) for one in sight.set_of_phases() if (polarity := _polarity(one)) is not None]


def _row(phases: list[tuple[Sight, str]]) -> tuple[Figure, ...]:
    return tuple(Figure(f"polarity of {one.scene.ct.phase_text}", polarity) for one, polarity in phases)


def reversed_phase(sight: Sight) -> Answer:
    """Some phases of a set oppose the marking and others agree."""
    phases = _phases(sight)
    if len(phases) < 2:
        return sight.not_judged(REVERSED_PHASE, "The polarity of fewer than two phases is known.")
    opposing = [one for one, polarity in phases if polarity == "opposes"]
    if not opposing or len(opposing) == len(phases):
        return ()
    names = listed([one.scene.ct.phase_text for one in opposing])
    agreeing = [one.scene.ct.phase_text for one, polarity in phases if polarity == "agrees"]
    rest = f"{listed(agreeing)} {'agrees' if len(agreeing) == 1 else 'agree'}"
    oppose = "opposes" if len(opposing) == 1 else "oppose"
    sentence = (
        f"Core {sight.core.number}: {names} {oppose} the marking, {rest}. At balanced load the "
        f"residual would be twice the phase current instead of nothing. Are two leads of {names} exchanged?"
    )
    cores = tuple(one.core.core_id for one in opposing)
    return (Notice(REVERSED_PHASE, cores, "ratio", "", sentence, _row(phases)),)


def reversed_all(sight: Sight) -> Answer:
    """Every phase of a set opposes the marking: all is consistent, and all points the wrong way."""
    phases = _phases(sight)
    if len(phases) < 2 or len(phases) < len(sight.set_of_phases()):
        return sight.not_judged(REVERSED_ALL, "The polarity of some phase is not known.")
    if any(polarity == "agrees" for _, polarity in phases):
        return ()
    faces = sight.scene.position.p1_faces_text
    stands = f"P1 is noted as facing {faces}" if faces else "Which way P1 faces is not noted"
    names = listed([one.scene.ct.phase_text for one, _ in phases])
    sentence = (
        f"Core {sight.core.number}: {names} all oppose the marking. They fit each other, so that no residual "
        f"tells; direction would be wrong. {stands}. Are the transformers turned round, or is the meter?"
    )
    cores = tuple(one.core.core_id for one, _ in phases)
    return (Notice(REVERSED_ALL, cores, "ratio", "", sentence, _row(phases)),)


POLARITY = (
    NoticeRow(notice_id=REVERSED_PHASE, name="one phase turned round", look=reversed_phase),
    NoticeRow(notice_id=REVERSED_ALL, name="all phases turned round", look=reversed_all),
)
