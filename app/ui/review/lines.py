"""Judged lines as the review shows them: where, what was found, what is decided, asked and changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from app import words as spoken
from app.desk.exceptions import ExceptionLine
from app.desk.looking import Changed
from app.desk.readiness import place_words
from app.ui.review.to_decide import DecideLine
from app.ui.texts import text
from app.words import retold
from ctcore.job import DECISION_WORDS, Job, Remark, places

Pinned = Mapping[str, Sequence[Remark]]


@dataclass(frozen=True, slots=True)
class Wording:
    """The names that the lines of a job are told by, looked up once."""

    job: Job
    comments: Pinned
    changed: Changed | None
    places: dict[str, str] = field(default_factory=dict)
    tests: dict[str, str] = field(default_factory=dict)
    people: dict[str, str] = field(default_factory=dict)

    @classmethod
    def of(cls, job: Job, comments: Pinned, changed: Changed | None) -> Wording:
        """The names of a job."""
        return cls(
            job,
            comments,
            changed,
            {place.core.core_id: retold(place_words(place)) for place in places(job)},
            {row.procedure_id: spoken.in_line(row.short_name) for row in spoken.all_procedures()},
            {person.person_id: person.name_text for person in job.people},
        )

    def line(self, one: ExceptionLine) -> DecideLine:
        """One line in words."""
        found = retold(one.found_text.removeprefix(f"{one.verdict}: "))
        parts = (self.places.get(one.core_id, ""), self.tests.get(one.procedure_id, ""))
        place = ", ".join(part for part in parts if part)
        if not place:
            place, _, found = found.partition(": ")
            found = found[:1].upper() + found[1:]
        asked = self._asked(one.key)
        wanted = one.decision is None and bool(one.allowed)
        return DecideLine(
            key=one.key,
            core_id=one.core_id,
            procedure_id=one.procedure_id,
            verdict=one.verdict,
            place_text=place,
            found_text=found,
            decided_text=self._decided(one, asked),
            settled=not wanted and asked != "answered",
            allowed=tuple(one.allowed),
            reason_text=one.reason_text,
            valid_text=one.valid_text,
            asked=asked,
            is_changed=self._is_changed(one),
            was_text=self.changed.keys.get(one.key, "") if self.changed is not None else "",
        )

    def _asked(self, key: str) -> str:
        """Open where a comment of the line is, else answered where one is not closed yet."""
        states = {one.state for one in self.comments.get(key, ())}
        return next((state for state in ("open", "answered", "closed") if state in states), "")

    def _is_changed(self, one: ExceptionLine) -> bool:
        if self.changed is None:
            return False
        new = {remark.remark_id for remark in self.comments.get(one.key, ())}
        return one.key in self.changed.keys or bool(new & self.changed.answered)

    def _decided(self, one: ExceptionLine, asked: str) -> str:
        told = text(f"review.asked.{asked}") if asked else ""
        if one.decision is not None:
            name = self.people.get(one.person_id, "")
            decided = spoken.told(f"decision.{one.decision}", DECISION_WORDS[one.decision])
            told = ", ".join(part for part in (decided, name, told) if part)
        elif one.allowed:
            told = told or text("review.to_decide_word")
        return told


def every_line(words: Wording, every: Sequence[ExceptionLine]) -> tuple[DecideLine, ...]:
    """Every judged line by core and test."""
    return tuple(words.line(one) for one in every)


def to_decide(lines: Sequence[DecideLine], exceptions: Sequence[ExceptionLine]) -> tuple[DecideLine, ...]:
    """The exceptions, worst first, and other lines with a comment that is not closed.

    What was answered comes right after what is outside: it was asked for.
    """
    by_key = {line.key: line for line in lines}
    known = {one.key for one in exceptions}
    wanted = [by_key[one.key] for one in exceptions]
    wanted += [one for one in lines if one.key not in known and one.asked in ("open", "answered")]
    return tuple(sorted(wanted, key=lambda one: (one.verdict != "outside", one.asked != "answered")))
