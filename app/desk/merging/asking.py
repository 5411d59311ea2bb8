"""The questions that a merge leaves: a part that two changed apart, each side with who said it and when."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping

from app.desk.merging.bodies import differing
from app.desk.merging.history import History
from app.desk.merging.versions import Version, untold_key
from app.record.canonical import canonical, digest
from ctcore.question import Question, Side

_ID_LENGTH = 32


def asked(
    history: History, versions: Mapping[str, tuple[Version, ...]], known: Iterable[Question]
) -> tuple[Question, ...]:
    """Every question that stands: those asked now, those somebody went on over, those that were answered."""
    before = _by_id(known)
    found = {name: one for name, one in before.items() if one.answers or history.gone_over(name, one.part_id)}
    for part_id, its in versions.items():
        now = _question(part_id, its)
        if now is not None:
            found[now.question_id] = before.get(now.question_id, now)
    return tuple(found[name] for name in sorted(found))


def settled(known: Iterable[Question]) -> set[tuple[str, str]]:
    """By part and key what no event tells of and a question was answered about: it stands no longer."""
    return {
        (question.part_id, untold_key(side.body_text))
        for question in _by_id(known).values()
        if not question.open_fields
        for side in question.sides
        if not side.events
    }


def _by_id(known: Iterable[Question]) -> dict[str, Question]:
    """Each question once with all answers; of two answers to one field the earlier one."""
    by_id: dict[str, list[Question]] = {}
    for question in known:
        by_id.setdefault(question.question_id, []).append(question)
    return {name: _together(its) for name, its in by_id.items()}


def _together(its: list[Question]) -> Question:
    given = sorted((answer for question in its for answer in question.answers), key=dataclasses.astuple)
    given.sort(key=lambda one: (one.at_utc, one.person_id))
    answers = {one.field: one for one in reversed(given)}
    first = min(its, key=lambda one: dataclasses.astuple(dataclasses.replace(one, answers=())))
    return dataclasses.replace(first, answers=tuple(answers[field] for field in sorted(answers)))


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
        body_text=last.body_text,
    )
