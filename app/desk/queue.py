"""What waits for who sits here: jobs handed in to be decided, approved ones to be issued, worst first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Final

from app.desk.board import calibrations_ended
from app.desk.deciding import DecisionVerbs
from app.desk.exceptions import exceptions_of
from app.desk.journey import APPROVE, SIGN, TAKE_IN, journey_of
from app.desk.readiness import place_words
from app.desk.states import why_not
from app.desk.wall_clock import day_and_time, seconds_between
from app.jobstore import JobLine
from app.record.act import Event
from app.record.revision import from_bytes
from ctcore.findings import VERDICTS, Verdict, worst
from ctcore.job import JobState, places
from ctcore.procedures import PROCEDURES

_WORST_FIRST: Final = {"outside": 0, "refer": 1, "not tested": 2, "within": 3, "not applicable": 4}
_WAITS: Final[tuple[JobState, ...]] = ("handed_in", "approved")


@dataclass(frozen=True, slots=True, kw_only=True)
class QueueLine:
    """One job that waits: what was found in it, what of that is undecided, for how long it has been here.

    `outage_ends` sorts by the clock; it is empty where what was stated of the outage names no day.
    """

    job_id: str
    number_text: str
    title_text: str
    state: JobState
    tester_text: str
    outage_text: str
    outage_ends: str
    counts: Mapping[Verdict, int]
    open_count: int
    here_hours: float

    @property
    def worst(self) -> Verdict:
        """The worst verdict in it."""
        return worst(verdict for verdict in VERDICTS if self.counts.get(verdict))


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a step is not possible yet, and the test on a core where that is mended; empty where it is none.

    `page_id` names what is mended elsewhere: at the plate of that core, or among the instruments.
    """

    text: str
    core_id: str = ""
    procedure_id: str = ""
    page_id: str = ""


class QueueVerbs(DecisionVerbs):
    """Looking for what is to be done."""

    def waiting(self) -> tuple[QueueLine, ...]:
        """Every job that waits for who sits here to decide or issue it, in the order that was chosen last."""
        lines = [line for line in self.store.jobs() if line.state in _WAITS]
        found = [waits for line in lines if (waits := self._waits(line)) is not None]
        return in_order(found, self.settings.get("review_order"))

    def reasons(self, job_id: str, verb: str) -> tuple[Reason, ...]:
        """Every reason why a step is not possible now, each with its place."""
        its = self._of(job_id)
        return tuple(self._placed(job_id, words) for words in why_not(self._case(its), verb))

    def missing(self, job_id: str) -> tuple[Reason, ...]:
        """Everything that is missing before the job is handed in: first what holds it up."""
        job = self._of(job_id).job
        plates = [
            Reason(text, ct.cores[0].core_id, page_id="plate")
            for position in job.positions
            for ct in position.cts
            if not ct.plate_confirmed and ct.cores
            for text in [f"{position.name_text} {ct.phase_text}: the plate was not compared"]
        ]
        ended = [
            Reason(f"{one.name_text}: calibration ended {one.due_on}", page_id="people")
            for one in calibrations_ended(job, self._clock().date())
        ]
        return (*self.reasons(job_id, "hand_in"), *plates, *ended)

    def _waits(self, line: JobLine) -> QueueLine | None:
        stored = self.store.revisions(line.job_id)
        events = self.store.events(line.job_id)
        if not stored or stored[-1].revision not in journey_of(events).tested:
            return None
        record = from_bytes(stored[-1].record_bytes)
        if record.declaration.person_id == self.settings.me()[0]:
            return None
        job = self.store.load(line.job_id)
        exceptions = exceptions_of(job, record.findings)
        return QueueLine(
            job_id=line.job_id,
            number_text=line.number_text,
            title_text=line.title_text,
            state=line.state,
            tester_text=record.declaration.name_text,
            outage_text=job.header.outage_ends_text,
            outage_ends=_ends(job.header.outage_ends_text, stored[-1].frozen_at_utc),
            counts=Counter(finding.verdict for finding in record.findings),
            open_count=sum(not one.settled for one in exceptions),
            here_hours=self._hours_since(events),
        )

    def _hours_since(self, events: Sequence[Event]) -> float:
        """For how long the job has waited here, by the clock of this computer."""
        came = [event.act.at_utc for event in events if event.act.kind in (SIGN, TAKE_IN, APPROVE)]
        return hours_of(came[-1], self._clock()) if came else 0.0

    def _placed(self, job_id: str, words: str) -> Reason:
        for place in places(self._of(job_id).job):
            name = place_words(place)
            if not words.startswith((f"{name}:", f"{name},")):
                continue
            rest = words[len(name) :]
            core_id = place.core.core_id
            for procedure in PROCEDURES:
                if rest.startswith(f", {procedure.short_name.lower()}:"):
                    return Reason(words, core_id, procedure.procedure_id)
            return Reason(words, core_id)
        return Reason(words)


def in_order(lines: Sequence[QueueLine], order: str) -> tuple[QueueLine, ...]:
    """Jobs by their worst finding, by how long they wait, or by the end of the outage; one breaks a tie."""

    def rank(one: QueueLine) -> tuple[object, ...]:
        worst_first = (_WORST_FIRST[one.worst], -one.counts.get(one.worst, 0))
        if order == "age":
            return (-one.here_hours, *worst_first)
        return (*(_by_outage(one) if order == "outage" else ()), *worst_first, -one.here_hours)

    return tuple(sorted(lines, key=rank))


def _ends(outage_text: str, signed_at_utc: str) -> str:
    """The day and time at which an outage ends; one without a year is near the day of the signature."""
    near: date | None = None
    with suppress(ValueError):
        near = datetime.fromisoformat(signed_at_utc).date()
    return day_and_time(outage_text, near)


def _by_outage(one: QueueLine) -> tuple[int, str]:
    """Dated outages by their day, then those that are no day, then none."""
    if one.outage_ends:
        return (0, one.outage_ends)
    return (1, one.outage_text) if one.outage_text else (2, "")


def hours_of(at_utc: str, now: datetime) -> float:
    """Hours from a moment of the record to now; zero where the moment is none or lies ahead.

    >>> hours_of("2031-05-04T08:00:00Z", datetime(2031, 5, 4, 10, 30, tzinfo=UTC))
    2.5
    """
    gone = seconds_between(at_utc, now.astimezone(UTC).isoformat())
    return max(0.0, gone or 0.0) / 3600.0
