"""Laptops that work apart on one job: each with its own chain of events, and what it takes in of others."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Mapping, Sequence
from contextlib import suppress
from typing import Any

from app.desk.merging import Form, answered, form_of, open_questions, united
from app.jobstore import Part, changes, job_from_parts, parts_of
from app.jobstore.writing import Entry, content_of
from app.record.act import Act, Event
from app.record.chain import FIRST_PREV, next_event
from ctcore.errors import BadInput
from ctcore.job import CT, Core, Header, Instrument, Job, Landing, Position, Reading, Remark, Tap
from ctcore.question import Answered
from ctcore.takes import standing

FIRST = Job(
    job_id="j1",
    header=Header(number_text="77", title_text="Line bay"),
    positions=(
        Position(
            position_id="p1",
            name_text="S1",
            cts=(
                CT(
                    ct_id="t1",
                    phase_text="L1",
                    cores=(
                        Core(
                            core_id="k1",
                            number=1,
                            class_text="5P20 15 VA",
                            taps=(
                                Tap(
                                    tap_id="a",
                                    terminals_text="S1-S2",
                                    i_primary_rated_a=600.0,
                                    i_secondary_rated_a=1.0,
                                ),
                            ),
                        ),
                    ),
                ),
            ),
        ),
    ),
)


@dataclasses.dataclass(frozen=True)
class Told:
    """What one event said of a part, None where it took it out, and the events known to who said it."""

    dot: str
    known: frozenset[str]
    part_id: str
    body: dict[str, Any] | None


Ledger = list[Told]


class Laptop:
    """One computer. What it does is what the desk does, without a store: parts, readings, one event each."""

    def __init__(self, device_id: str, job: Job, ledger: Ledger, events: Sequence[Event] = ()) -> None:
        self.device_id = device_id
        self.ledger = ledger
        self.job = job
        self.events: list[Event] = list(events)
        self.made: list[Reading] = []
        self._clock = 0
        self._before: list[dict[str, Part | None]] = []

    @classmethod
    def with_new_job(cls, device_id: str) -> Laptop:
        laptop = cls(device_id, Job(job_id="j1", header=Header(number_text="")), [])
        laptop._clock = -1
        laptop.write("job", FIRST)
        laptop._before.clear()
        return laptop

    @property
    def form(self) -> Form:
        return form_of(self.job, self.events)

    def hand_out(self, device_id: str) -> Laptop:
        """Another laptop with all that this one has, taken in by an event that names the heads."""
        other = Laptop(device_id, self.job, self.ledger, self.events)
        other._clock = self._clock
        entry = Entry(parts=parts_of(self.job), readings=self.job.readings)
        other._add("take_in", {"heads": self.heads()}, content_of(entry, self.job.readings))
        return other

    def take(self, other: Laptop) -> None:
        """Merge with what the other one hands over."""
        merged = united(self.form, other.form)
        here = {event.head for event in self.events}
        self._clock = max(self._clock, other._clock)
        known = set(self.job.readings)
        entry = self._entry(merged.job, [one for one in merged.job.readings if one not in known])
        self.job = merged.job
        heads = other.heads()
        self.events += [event for event in other.events if event.head not in here]
        self._add("merge", {"heads": heads}, content_of(entry, entry.readings))
        self._before.clear()

    def write(self, kind: str, job: Job, readings: Sequence[Reading] = (), *, also: str = "") -> None:
        """Change the job by one act; `also` is a part that is written although it stays."""
        entry = self._entry(job, readings, also)
        names = {*(part.part_id for part in entry.parts), *entry.removed_parts}
        if not names and not readings:
            return
        old = {part.part_id: part for part in parts_of(self.job)}
        if kind not in ("attach", "strike_attached", "comment"):
            self._before.append({name: old.get(name) for name in names})
            self._note(names, old, job, also)
        self._add(kind, {}, content_of(entry, readings))
        self.job = dataclasses.replace(job, readings=(*self.job.readings, *readings))
        self.made += readings

    def undo(self) -> None:
        """Put the parts back that the last act changed, as far as nothing stands on them meanwhile."""
        before = self._before.pop() if self._before else {}
        parts = {part.part_id: part for part in parts_of(self.job)}
        parts |= {
            name: _with_grown(part, parts.get(name)) for name, part in before.items() if part is not None
        }
        kept = [
            part
            for name, part in parts.items()
            if before.get(name, part) is not None or part.body.get("steps")
        ]
        with suppress(BadInput):
            job = dataclasses.replace(job_from_parts(kept, self.job.readings), state=self.job.state)
            if referred_to(job) <= {core.core_id for core in cores_of(job)}:
                self.write("undo", job)

    def _note(self, names: Collection[str], old: Mapping[str, Part], job: Job, also: str) -> None:
        """Note in the ledger what is said now, and what was known to who says it."""
        new = {part.part_id: part for part in parts_of(job)}
        dot = f"{self.device_id}/{1 + sum(one.device_id == self.device_id for one in self.events)}"
        known = frozenset(f"{one.device_id}/{one.n}" for one in self.events)
        for name in names:
            before, after = (its[name].body if name in its else None for its in (old, new))
            if before != after or name == also:
                self.ledger.append(Told(dot, known, name, after))

    def _entry(self, job: Job, readings: Sequence[Reading], also: str = "") -> Entry:
        changed, removed = changes(self.job, job)
        if also and also not in {part.part_id for part in changed}:
            changed += [part for part in parts_of(job) if part.part_id == also]
        return Entry(readings=readings, parts=changed, removed_parts=removed)

    # What somebody does

    def key(self, row: str, text: str, *, core_id: str = "k1", take: int = 1, **more: Any) -> Reading:
        """Key a text; it supersedes what stands last in the field."""
        place = (core_id, take, row)
        stand = [one for one in standing(self.job.readings) if (one.core_id, one.take, one.row) == place]
        number = 1 + sum(one.device_id == self.device_id for one in self.job.readings)
        made = Reading(
            reading_id=f"{self.device_id}-{number}",
            core_id=core_id,
            procedure_id="resistance",
            take=take,
            row=row,
            quantity_id="r_measured_ohm",
            as_typed_text=text,
            value_text=text,
            person_id=self.device_id,
            at_utc=self.now(),
            utc_offset_minutes=0,
            device_id=self.device_id,
            device_seq=number,
            supersedes_id=stand[-1].reading_id if stand else None,
            **more,
        )
        self.write("reading", dataclasses.replace(self.job, state="being_tested"), [made])
        return made

    def title(self, **fields: str) -> None:
        header = dataclasses.replace(self.job.header, **fields)  # type: ignore[arg-type]
        self.write("header", dataclasses.replace(self.job, header=header))

    def remark(self, text: str) -> None:
        made = Remark(
            remark_id=f"{self.device_id}-{len(self.events)}",
            core_id="",
            procedure_id="",
            text=text,
            person_id=self.device_id,
            at_utc=self.now(),
            utc_offset_minutes=0,
        )
        self.write("remark", dataclasses.replace(self.job, remarks=(*self.job.remarks, made)))

    def land(self, lead_id: str, *, core_id: str = "k1") -> None:
        made = Landing(
            landing_id=f"{self.device_id}-{len(self.events)}",
            core_id=core_id,
            procedure_id="resistance",
            lead_id=lead_id,
            text=lead_id,
            person_id=self.device_id,
            at_utc=self.now(),
            utc_offset_minutes=0,
        )
        self.write("landing", dataclasses.replace(self.job, landings=(*self.job.landings, made)))

    def instrument(self, instrument_id: str, name_text: str) -> None:
        kept = [one for one in self.job.instruments if one.instrument_id != instrument_id]
        made = Instrument(instrument_id=instrument_id, name_text=name_text)
        self.write("instrument", dataclasses.replace(self.job, instruments=(*kept, made)))

    def without_instrument(self, instrument_id: str) -> None:
        if any(one.instrument_id == instrument_id for one in self.job.readings):
            return
        kept = tuple(one for one in self.job.instruments if one.instrument_id != instrument_id)
        if len(kept) < len(self.job.instruments):
            self.write("instrument", dataclasses.replace(self.job, instruments=kept))

    def add_position(self, name: str) -> None:
        ct = CT(ct_id=f"t-{name}", phase_text="L1", cores=(dataclasses.replace(CORE, core_id=f"k-{name}"),))
        made = Position(position_id=f"p-{name}", name_text=name, cts=(ct,))
        if made.position_id not in {one.position_id for one in self.job.positions}:
            self.write("position", dataclasses.replace(self.job, positions=(*self.job.positions, made)))

    def without_position(self, name: str) -> None:
        """Take a set out, as long as nothing here refers to it."""
        gone = [one for one in self.job.positions if one.position_id == f"p-{name}"]
        if gone and not referred_to(self.job) & {core.core_id for core in cores_of(self.job, gone)}:
            kept = tuple(one for one in self.job.positions if one not in gone)
            self.write("position", dataclasses.replace(self.job, positions=kept))

    def put_ct(self, ct: CT) -> None:
        """Put a transformer in the place of the one with its id."""
        positions = tuple(
            dataclasses.replace(one, cts=tuple(ct if its.ct_id == ct.ct_id else its for its in one.cts))
            for one in self.job.positions
        )
        self.write("plate", dataclasses.replace(self.job, positions=positions))

    def put_core(self, ct: CT, core: Core) -> None:
        """Put a core in the place of the one with its id, or beside the others."""
        known = {one.core_id: one for one in ct.cores} | {core.core_id: core}
        self.put_ct(dataclasses.replace(ct, cores=tuple(known.values())))

    def class_text(self, text: str) -> None:
        ct = self.job.positions[0].cts[0]
        self.put_core(ct, dataclasses.replace(ct.cores[0], class_text=text))

    def answer(self, kept: int, *, which: int = 0) -> None:
        """Answer one of the open questions."""
        waiting = open_questions(self.job)
        if waiting:
            question, field = waiting[which % len(waiting)]
            if field and not question.sides[kept % len(question.sides)].body_text:
                return
            answer = Answered(
                field=field,
                kept=kept % len(question.sides),
                reason_text="looked",
                person_id=self.device_id,
                at_utc=self.now(),
                utc_offset_minutes=0,
            )
            # What stands on a set that would go has to be answered first.
            with suppress(BadInput):
                job = answered(self.job, question, answer)
                if referred_to(job) <= {core.core_id for core in cores_of(job)}:
                    self.write("keep", job, also=question.part_id)
                    self._before.clear()

    def heads(self) -> list[list[object]]:
        found: dict[str, Event] = {}
        for event in self.events:
            if event.device_id not in found or found[event.device_id].n < event.n:
                found[event.device_id] = event
        return [[one.device_id, one.n, one.head] for _, one in sorted(found.items())]

    def _add(self, kind: str, where: dict[str, object], content: dict[str, object]) -> None:
        own = [event for event in self.events if event.device_id == self.device_id]
        act = Act(kind, self.device_id, f"Person {self.device_id}", self.now(), 0, "Etc/UTC", where)
        prev, n = (own[-1].head, own[-1].n) if own else (FIRST_PREV, 0)
        self.events.append(next_event(prev, n + 1, self.device_id, act, content))

    def now(self) -> str:
        self._clock += 1
        hours, minutes, seconds = self._clock // 3600, self._clock // 60 % 60, self._clock % 60
        return f"2031-05-04T{8 + hours:02d}:{minutes:02d}:{seconds:02d}.000Z"


def _with_grown(part: Part, now: Part | None) -> Part:
    grown = {name: now.body[name] for name in ("attached", "steps") if now is not None and name in now.body}
    return dataclasses.replace(part, body=part.body | grown)


def cores_of(job: Job, positions: Sequence[Position] | None = None) -> list[Core]:
    """Every core of a job, or of some of its sets."""
    found = job.positions if positions is None else positions
    return [core for position in found for ct in position.cts for core in ct.cores]


def referred_to(job: Job) -> set[str]:
    """The cores to which something in the job refers."""
    its = job.references
    lists = (job.readings, job.landings, job.deviations, job.remarks, its.limit_overrides, its.values)
    return {one.core_id for entries in lists for one in entries if one.core_id}


CORE = FIRST.positions[0].cts[0].cores[0]
