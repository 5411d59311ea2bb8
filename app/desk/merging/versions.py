"""The versions of a part that one form of the job knows: which events brought them, and what they say."""

from __future__ import annotations

import json
from dataclasses import dataclass

from app.desk.merging.bodies import Body, bare
from app.desk.merging.history import History, Touch
from app.jobstore import Part, parts_of
from app.record.canonical import canonical
from ctcore.job import Job


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """What one event made of a part; no body where it took it out, no dot where no event tells."""

    dot: str
    at_utc: str
    utc_offset_minutes: int
    person_text: str
    body: Body | None
    order: int
    first_at_utc: str

    @property
    def key(self) -> str:
        """What tells it from the others of its part."""
        return self.dot or f"? {self.spelled}"

    @property
    def spelled(self) -> str:
        """Its body as text; empty where the part was taken out."""
        return "" if self.body is None else canonical(self.body).decode()

    @property
    def stamp(self) -> tuple[str, str, str]:
        """The later one of two comes last."""
        return (self.at_utc, self.dot, self.spelled)


def as_parts(job: Job) -> dict[str, Part]:
    """The parts of a job by id, its questions left out: those are united by themselves."""
    return {part.part_id: part for part in parts_of(job) if part.kind != "question"}


def versions_of(job: Job, history: History) -> dict[str, tuple[Version, ...]]:
    """What stands of every part, and what stood last of one that is here although it was taken out."""
    parts = as_parts(job)
    apart = _apart(job)
    found: dict[str, tuple[Version, ...]] = {}
    for part_id in {*parts, *history.part_ids}:
        if part_id.startswith("question:"):
            continue
        part = parts.get(part_id)
        current = bare(part.body) if part is not None else None
        touches = history.standing(part_id)
        made = []
        for touch in touches:
            body = None
            if touch.digest_hex:
                body = apart.get((part_id, touch.dot), current)
            made.append(_version(touch, body, history, part_id))
        known = {version.dot for version in made}
        # What was kept for the readings on it was known to who took it out: only the question still has it.
        made += [
            _version(touch, apart[part_id, touch.dot], history, part_id)
            for touch in history.touches(part_id)
            if touch.dot not in known and (part_id, touch.dot) in apart
        ]
        if current is not None and all(version.body is None for version in made):
            made.append(_last_content(history, part_id, current, part.order if part is not None else 0))
        found[part_id] = tuple(made)
    return found


def _apart(job: Job) -> dict[tuple[str, str], Body]:
    """What the sides of the questions say, by part and event."""
    return {
        (question.part_id, dot): json.loads(side.body_text)
        for question in job.questions
        if question.open_fields
        for side in question.sides
        if side.body_text
        for dot in side.events
    }


def _version(touch: Touch, body: Body | None, history: History, part_id: str) -> Version:
    act = touch.event.act
    return Version(
        dot=touch.dot,
        at_utc=act.at_utc,
        utc_offset_minutes=act.utc_offset_minutes,
        person_text=act.person_name_text,
        body=body,
        order=history.order_of(part_id),
        first_at_utc=history.first_at_utc(part_id),
    )


def _last_content(history: History, part_id: str, body: Body, order: int) -> Version:
    """A part that is here although the events took it out, or that no event tells of."""
    touch = history.last_content(part_id)
    if touch is not None:
        return _version(touch, body, history, part_id)
    return Version(
        dot="", at_utc="", utc_offset_minutes=0, person_text="", body=body, order=order, first_at_utc=""
    )
