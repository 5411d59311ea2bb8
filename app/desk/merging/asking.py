"""The questions that a merge leaves: a part that two changed apart, each side with who said it and when."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from itertools import combinations

from app.desk.merging.bodies import differing
from app.desk.merging.history import History, dot_of
from app.desk.merging.versions import Version
from app.record.canonical import canonical, digest
from ctcore.question import Question, Side

_ID_LENGTH = 32


def asked(
    history: History, versions: Mapping[str, tuple[Version, ...]], known: Iterable[Question]
) -> tuple[Question, ...]:
    """Every question that stands: those made now, those somebody went on over, those that were answered."""
    found = _united(known)
    for question in list(found.values()):
        if not question.answers and not _gone_over(question, versions.get(question.part_id, ()), history):
            del found[question.question_id]
    for part_id, its in versions.items():
        made = _question(part_id, its)
        if made is not None:
            found.setdefault(made.question_id, made)
    return tuple(found[name] for name in sorted(found))


def _united(known: Iterable[Question]) -> dict[str, Question]:
    by_id: dict[str, Question] = {}
    for question in known:
        before = by_id.setdefault(question.question_id, question)
        # Of two answers to one field the earlier stands; the part itself was changed twice, which is asked.
        given = sorted((*before.answers, *question.answers), key=lambda one: (one.at_utc, one.person_id))
        answers = {one.field: one for one in reversed(given)}
        by_id[question.question_id] = dataclasses.replace(
            before, answers=tuple(answers[field] for field in sorted(answers))
        )
    return by_id


def _gone_over(question: Question, versions: tuple[Version, ...], history: History) -> bool:
    """Whether somebody who had two sides that were made apart changed the part without answering."""
    by_dot = {dot_of(event): event for event in history.events}
    sides = [[by_dot[dot] for dot in side.events if dot in by_dot] for side in question.sides]
    own = {dot for side in question.sides for dot in side.events}
    later = [by_dot[one.dot] for one in versions if one.dot in by_dot and one.dot not in own]
    return any(
        history.knew(event, one) and history.knew(event, other) and history.apart(one, other)
        for event in later
        for ours, theirs in combinations(sides, 2)
        for one in ours
        for other in theirs
    )


def _question(part_id: str, versions: tuple[Version, ...]) -> Question | None:
    """The question about a part; None where all that stands says the same."""
    sides: list[list[Version]] = []
    for version in versions:
        like = next((its for its in sides if _alike(its[0], version)), None)
        if like is None:
            sides.append([version])
        else:
            like.append(version)
    if len(sides) < 2:
        return None
    dots = sorted(version.key for version in versions)
    return Question(
        question_id=digest(canonical([part_id, dots]))[:_ID_LENGTH],
        part_id=part_id,
        fields=_fields(sides),
        sides=tuple(_side(its) for its in sides),
    )


def _alike(one: Version, other: Version) -> bool:
    if one.body is None or other.body is None:
        return one.body is None and other.body is None
    return not differing(one.body, other.body)


def _fields(sides: list[list[Version]]) -> tuple[str, ...]:
    bodies = [its[-1].body for its in sides]
    contents = [body for body in bodies if body is not None]
    found = {field for body in contents[1:] for field in differing(contents[0], body)}
    if len(contents) < len(bodies):
        found.add("")
    return tuple(sorted(found))


def _side(versions: list[Version]) -> Side:
    last = versions[-1]
    return Side(
        person_text=last.person_text,
        at_utc=last.at_utc,
        utc_offset_minutes=last.utc_offset_minutes,
        events=tuple(sorted(version.dot for version in versions if version.dot)),
        body_text=last.spelled,
    )
