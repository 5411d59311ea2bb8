"""The union of two forms of one job."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final, cast

from app.desk.merging.asking import asked
from app.desk.merging.bodies import Body, joined, with_grown
from app.desk.merging.history import History
from app.desk.merging.needs import Needs
from app.desk.merging.versions import Version, as_parts, versions_of
from app.jobstore import Part, PartKind, job_from_parts
from app.record.act import Event
from ctcore.job import Job, JobState, Reading
from ctcore.takes import entry_order

# Of two states the one further on; a job that is handed in, approved or issued is not merged at all.
_STATES: Final[tuple[JobState, ...]] = ("planned", "sent_back", "being_tested")
# Plates are settled after what refers to them, so that nothing refers to what is not there.
_LAST: Final = ("instrument", "ct", "position")


class Unlike(Exception):
    """The two are no forms of one job; the sentence says why."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class Form:
    """A job as one computer has it, with all events that it has of it."""

    job: Job
    events: tuple[Event, ...]


def united(one: Form, other: Form) -> Form:
    """What both together say; Unlike where they cannot be forms of one job.

    Commutative, associative and idempotent: every reading of both, each once, and what else is later.
    """
    if one.job.job_id != other.job.job_id:
        raise Unlike("These are two different jobs.")
    history = History(_events(one, other))
    readings = _readings(one.job.readings, other.job.readings)
    kept, versions = _parts(one, other, history, readings)
    questions = asked(history, versions, (*one.job.questions, *other.job.questions))
    job = job_from_parts(kept, readings)
    state = max((one.job.state, other.job.state), key=_rank)
    return Form(dataclasses.replace(job, state=state, questions=questions), history.events)


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
    one: Form, other: Form, history: History, readings: tuple[Reading, ...]
) -> tuple[list[Part], dict[str, tuple[Version, ...]]]:
    """The parts that stand, and of each part the versions that stand beside each other."""
    forms = [(as_parts(form.job), versions_of(form.job, History(form.events))) for form in (one, other)]
    part_ids = sorted({name for parts, versions in forms for name in (*parts, *versions)})
    part_ids.sort(key=lambda name: _LAST.index(kind) + 1 if (kind := _kind(name)) in _LAST else 0)
    needs = Needs(readings)
    kept: list[Part] = []
    stand: dict[str, tuple[Version, ...]] = {}
    for part_id in part_ids:
        its = _united_versions([versions.get(part_id, ()) for _, versions in forms])
        live = tuple(one for one in its if _stands(one, part_id, history))
        stand[part_id] = live = needs.rescued(part_id, live, its)
        body = _body([version.body for version in live if version.body is not None])
        if body is None:
            continue
        for parts, _ in forms:
            if part_id in parts:
                body = with_grown(body, parts[part_id].body)
        needs.note(part_id, body)
        kept.append(Part(part_id, _kind(part_id), 0, body))
    return _ordered(kept, stand), stand


def _kind(part_id: str) -> PartKind:
    return cast(PartKind, part_id.partition(":")[0])


def _united_versions(of_forms: list[tuple[Version, ...]]) -> tuple[Version, ...]:
    """The versions of both, each event once."""
    by_dot: dict[str, Version] = {}
    for version in (version for its in of_forms for version in its):
        known = by_dot.setdefault(version.key, version)
        if known.body is not None and version.body is not None and known.body != version.body:
            low, high = sorted((known, version), key=lambda one: one.spelled)
            by_dot[version.key] = dataclasses.replace(known, body=joined(high.body or {}, low.body or {}))
    return tuple(sorted(by_dot.values(), key=lambda one: one.stamp))


def _stands(version: Version, part_id: str, history: History) -> bool:
    return not version.dot or version.dot in {touch.dot for touch in history.standing(part_id)}


def _body(bodies: list[Body]) -> Body | None:
    """The latest form, with what only an earlier one has."""
    if not bodies:
        return None
    body = bodies[-1]
    for earlier in reversed(bodies[:-1]):
        body = joined(body, earlier)
    return body


def _ordered(parts: list[Part], versions: Mapping[str, tuple[Version, ...]]) -> list[Part]:
    """Each list in the order of its events: by the place that was given, then by the clock."""

    def place(part: Part) -> tuple[int, str, str]:
        contents = [one for one in versions[part.part_id] if one.body is not None]
        return (contents[-1].order, contents[-1].first_at_utc, part.part_id)

    ordered = sorted(parts, key=place)
    return [dataclasses.replace(part, order=index) for index, part in enumerate(ordered)]
