"""What a form of a job knows of its parts: what was said, what grew, what was asked. All of it only grows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from app.desk.merging.bodies import GROWING, Body, bare
from app.desk.merging.history import History
from app.jobstore import Part, parts_of
from app.record.canonical import canonical
from ctcore.job import Job
from ctcore.question import Question


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What one event made of a part, without what only grows; no dot where no event tells of it.

    `order` is its place in its list where no event gives one.
    """

    part_id: str
    dot: str
    body_text: str
    order: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Grown:
    """One entry of a list that is only added to."""

    part_id: str
    name: str
    entry_text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """All that a form of a job knows beside its readings and events: three sets, united by union."""

    said: frozenset[Said]
    grown: frozenset[Grown]
    asked: frozenset[Question]

    def __or__(self, other: Known) -> Known:
        return Known(
            said=self.said | other.said, grown=self.grown | other.grown, asked=self.asked | other.asked
        )


def as_parts(job: Job) -> dict[str, Part]:
    """The parts of a job by id, its questions left out: those are united by themselves."""
    return {part.part_id: part for part in parts_of(job) if part.kind != "question"}


def known_of(job: Job, history: History) -> Known:
    """What a job on one computer knows: its parts as their last events put them, and sides of questions."""
    parts = as_parts(job)
    said = _of_questions(job.questions)
    told: dict[str, set[str]] = {}
    for one in said:
        told.setdefault(one.part_id, set()).add(one.dot)
    for part in parts.values():
        said |= _of_part(part, history, told.get(part.part_id, set()))
    grown = {one for part in parts.values() for one in _grown(part)}
    return Known(said=frozenset(said), grown=frozenset(grown), asked=frozenset(job.questions))


def spelled(body: Body) -> str:
    """The plain form of a part as one text."""
    return canonical(body).decode()


def _of_questions(questions: Iterable[Question]) -> set[Said]:
    """What the sides say; one that no event tells of only as long as its question waits for an answer."""
    return {
        Said(part_id=question.part_id, dot=dot, body_text=side.body_text)
        for question in questions
        for side in question.sides
        if side.body_text
        for dot in side.events or (("",) if question.open_fields else ())
    }


def _of_part(part: Part, history: History, told: set[str]) -> set[Said]:
    """What a part says for each event that it stands by and of which no question tells."""
    text = spelled(bare(part.body))
    dots = [one.dot for one in history.standing(part.part_id) if one.digest_hex]
    if not dots and not told:
        # It is here although the events took it out, or no event tells of it.
        last = history.last_content(part.part_id)
        dots = [last.dot if last is not None else ""]
    return {
        Said(part_id=part.part_id, dot=dot, body_text=text, order=0 if dot else part.order)
        for dot in dots
        if dot not in told
    }


def _grown(part: Part) -> list[Grown]:
    return [
        Grown(part_id=part.part_id, name=name, entry_text=spelled(entry))
        for name in GROWING
        for entry in part.body.get(name, ())
    ]
