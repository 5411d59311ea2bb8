"""The union of two forms of one job.

Assumption: why the result does not depend on the order. A form is worth its events, its readings, what it
knows of parts (`said.Known`), and how far its state is. Of two forms each of these is united by the union of
sets, the state by the greater one; both are commutative, associative and idempotent. The job that is shown is
worked out of what was united alone (`_job`), never out of the two jobs, and never goes back into the sets.
"""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, TypeVar, cast

from app.desk.merging.asking import asked, settled
from app.desk.merging.bodies import Body, grown_together, joined
from app.desk.merging.history import History
from app.desk.merging.needs import Needs
from app.desk.merging.said import Grown, Known, Said, known_of
from app.desk.merging.versions import Version, versions_of
from app.jobstore import Part, PartKind, job_from_parts
from app.record.act import Event
from ctcore.job import Job, JobState, Reading
from ctcore.takes import entry_order

# Of two states the one further on; a job that is handed in, approved or issued is not merged at all.
_STATES: Final[tuple[JobState, ...]] = ("planned", "sent_back", "being_tested")
# Plates are settled after what refers to them, so that nothing refers to what is not there.
_LAST: Final = ("instrument", "ct", "position")
_Entry = TypeVar("_Entry", Said, Grown)


class Unlike(Exception):
    """The two are no forms of one job; the sentence says why."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class Form:
    """A job as one computer has it, all events that it has of it, and what both together know."""

    job: Job
    events: tuple[Event, ...]
    known: Known


def form_of(job: Job, events: Iterable[Event]) -> Form:
    """The form of a job out of a store or a file."""
    history = History(events)
    return Form(job, history.events, known_of(job, history))


def united(one: Form, other: Form) -> Form:
    """What both together say; Unlike where they cannot be forms of one job.

    Commutative, associative and idempotent: every reading of both, each once, and what else is later.
    """
    if one.job.job_id != other.job.job_id:
        raise Unlike("These are two different jobs.")
    history = History(_events(one, other))
    readings = _readings(one.job.readings, other.job.readings)
    state = max((one.job.state, other.job.state), key=_rank)
    known = one.known | other.known
    return Form(_job(history, readings, known, state), history.events, known)


def _job(history: History, readings: tuple[Reading, ...], known: Known, state: JobState) -> Job:
    """The job that the united sets say."""
    kept, stand = _parts(history, readings, known)
    job = job_from_parts(kept, readings)
    return dataclasses.replace(job, state=state, questions=asked(history, stand, known.asked))


def _rank(state: JobState) -> int:
    if state not in _STATES:
        raise Unlike("What is handed in, approved, issued or ended is not merged any more.")
    return _STATES.index(state)


def _events(one: Form, other: Form) -> list[Event]:
    by_place = {(event.device_id, event.n): event for event in one.events}
    for event in other.events:
        known = by_place.setdefault((event.device_id, event.n), event)
        if known.head != event.head:
            raise Unlike(
                f"The trail of device {event.device_id[:8]} parts at entry {event.n}: one of the two stores "
                "was brought back from an older copy."
            )
    return list(by_place.values())


def _readings(ours: Iterable[Reading], theirs: Iterable[Reading]) -> tuple[Reading, ...]:
    by_id: dict[str, Reading] = {}
    by_number: dict[tuple[str, int], str] = {}
    for entry in (*ours, *theirs):
        if by_id.setdefault(entry.reading_id, entry) != entry:
            raise Unlike(f"One reading says two things: “{by_id[entry.reading_id].as_typed_text}” and "
                         f"“{entry.as_typed_text}”, both under the number {entry.reading_id}.")  # fmt: skip
        number = (entry.device_id, entry.device_seq)
        if by_number.setdefault(number, entry.reading_id) != entry.reading_id:
            raise Unlike(f"Two readings have the number {number[1]} of device {number[0][:8]}.")
    return tuple(sorted(by_id.values(), key=lambda entry: (entry_order(entry), entry.reading_id)))


def _parts(
    history: History, readings: tuple[Reading, ...], known: Known
) -> tuple[list[Part], dict[str, tuple[Version, ...]]]:
    """The parts that stand, and of each part the versions that stand beside each other."""
    said, grown = _by_part(known.said), _by_part(known.grown)
    over = settled(known.asked)
    needs = Needs(readings)
    kept: list[Part] = []
    stand: dict[str, tuple[Version, ...]] = {}
    for part_id in sorted({*said, *history.part_ids}, key=_turn):
        its = versions_of(part_id, said[part_id], history)
        dots = {touch.dot for touch in history.standing(part_id)}
        live = tuple(one for one in its if (one.dot in dots if one.dot else (part_id, one.key) not in over))
        stand[part_id] = live = needs.rescued(part_id, live, its)
        body = _body([version.body for version in live if version.body is not None])
        if body is not None:
            body = body | grown_together((one.name, one.entry_text) for one in grown[part_id])
            needs.note(part_id, body)
            kept.append(Part(part_id, _kind(part_id), 0, body))
    return _ordered(kept, stand, history), stand


def _by_part(entries: Iterable[_Entry]) -> dict[str, list[_Entry]]:
    found: dict[str, list[_Entry]] = defaultdict(list)
    for entry in entries:
        found[entry.part_id].append(entry)
    return found


def _turn(part_id: str) -> tuple[int, str]:
    kind = _kind(part_id)
    return (_LAST.index(kind) + 1 if kind in _LAST else 0, part_id)


def _kind(part_id: str) -> PartKind:
    return cast(PartKind, part_id.partition(":")[0])


def _body(bodies: list[Body]) -> Body | None:
    """The latest form, with what only an earlier one has."""
    if not bodies:
        return None
    body = bodies[-1]
    for earlier in reversed(bodies[:-1]):
        body = joined(body, earlier)
    return body


def _ordered(parts: list[Part], stand: dict[str, tuple[Version, ...]], history: History) -> list[Part]:
    """Each list in the order of its events: by the place that was given, then by the clock."""

    def place(part: Part) -> tuple[int, str, str]:
        untold = min((one.order for one in stand[part.part_id] if not one.dot), default=0)
        return (history.order_of(part.part_id, untold), history.first_at_utc(part.part_id), part.part_id)

    ordered = sorted(parts, key=place)
    return [dataclasses.replace(part, order=index) for index, part in enumerate(ordered)]
