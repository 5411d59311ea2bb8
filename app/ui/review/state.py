"""Everything the page of who decides shows of a job, read in one go beside the window's thread."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from app.desk import Desk, View
from app.desk.exceptions import ExceptionLine
from app.desk.queue import QueueLine
from app.desk.readiness import place_words
from app.desk.view import RevisionLine, StepLine
from app.ui.review.to_decide import DecideLine
from app.ui.texts import text
from ctcore.job import DECISION_WORDS, Job, Remark, places
from ctcore.procedures import PROCEDURES


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewState:
    """What waits, and the job in hand with its lines; `view` is None where none is in hand."""

    queue: tuple[QueueLine, ...]
    view: View | None = None
    lines: tuple[DecideLine, ...] = ()
    steps: tuple[StepLine, ...] = ()
    counts: Counter[str] | None = None

    @property
    def revision(self) -> RevisionLine | None:
        """The revision in hand."""
        return self.view.revisions[-1] if self.view is not None and self.view.revisions else None

    @property
    def open_count(self) -> int:
        """Lines that wait for a decision."""
        return sum(not line.settled for line in self.lines)

    @property
    def back_count(self) -> int:
        """Lines that go back."""
        return sum(line.decided_text.startswith(DECISION_WORDS["sent_back"]) for line in self.lines)

    def step(self, verb: str) -> StepLine | None:
        """A step out of the present state."""
        return next((one for one in self.steps if one.verb == verb), None)


def read(desk: Desk, job_id: str | None) -> ReviewState:
    """The state of the review now."""
    queue = desk.waiting()
    if job_id is None:
        return ReviewState(queue=queue)
    view = desk.view(job_id)
    if not view.revisions or not view.revisions[-1].signed:
        return ReviewState(queue=queue)
    found = desk.exceptions(job_id)
    return ReviewState(
        queue=queue,
        view=view,
        lines=tuple(_line(view.job, one) for one in found),
        steps=desk.steps(job_id),
        counts=Counter(one.verdict for one in desk.findings_to_decide(job_id)),
    )


def comments_of(job: Job, key: str) -> list[tuple[str, Remark]]:
    """The comments pinned to a line, each with the name of who made it."""
    names = {person.person_id: person.name_text for person in job.people}
    return [(names.get(one.person_id, one.person_id), one) for one in job.remarks if one.finding_key == key]


def alike(lines: tuple[DecideLine, ...], line: DecideLine) -> list[str]:
    """The keys of undecided lines that the same rule made of the same quantity, this one first."""
    kind = _kind(line.key)
    return [
        line.key,
        *(
            one.key
            for one in lines
            if one.key != line.key and not one.settled and kind and _kind(one.key) == kind
        ),
    ]


def _kind(key: str) -> tuple[str, str] | None:
    parts = key.split("/")
    return (parts[1], parts[-1]) if len(parts) == 5 else None


def _line(job: Job, one: ExceptionLine) -> DecideLine:
    names = {place.core.core_id: place_words(place) for place in places(job)}
    tests = {row.procedure_id: row.short_name.lower() for row in PROCEDURES}
    found = one.found_text.removeprefix(f"{one.verdict}: ")
    place = ", ".join(part for part in (names.get(one.core_id, ""), tests.get(one.procedure_id, "")) if part)
    if not place:
        place, _, found = found.partition(": ")
        found = found[:1].upper() + found[1:]
    return DecideLine(
        key=one.key,
        core_id=one.core_id,
        procedure_id=one.procedure_id,
        verdict=one.verdict,
        place_text=place,
        found_text=found,
        decided_text=_decided(job, one),
        settled=one.settled,
        allowed=tuple(one.allowed),
        reason_text=one.reason_text,
    )


def _decided(job: Job, one: ExceptionLine) -> str:
    if one.decision is None:
        return text("review.to_decide_word")
    names = {person.person_id: person.name_text for person in job.people}
    return f"{DECISION_WORDS[one.decision]}, {names.get(one.person_id, '')}".rstrip(", ")
