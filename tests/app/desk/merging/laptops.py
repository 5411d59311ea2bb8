"""Laptops that work apart on one job: each with its own chain of events, and what it takes in of others."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from contextlib import suppress

from app.desk.merging import Form, answered, open_questions, united
from app.jobstore import changes
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


class Laptop:
    """One computer. What it does is what the desk does, without a store: parts, readings, one event each."""

    def __init__(self, device_id: str, job: Job, events: Sequence[Event] = ()) -> None:
        self.device_id = device_id
        self.job = job
        self.events: list[Event] = list(events)
        self.made: list[Reading] = []
        self._clock = 0

    @classmethod
    def with_new_job(cls, device_id: str) -> Laptop:
        laptop = cls(device_id, Job(job_id="j1", header=Header(number_text="")))
        laptop._clock = -1
        laptop.write("job", FIRST)
        return laptop

    @property
    def form(self) -> Form:
        return Form(self.job, tuple(self.events))

    def hand_out(self, device_id: str) -> Laptop:
        """Another laptop with all that this one has, taken in by an event that names the heads."""
        other = Laptop(device_id, self.job, self.events)
        other._clock = self._clock
        other._add("take_in", {"heads": self.heads()}, {})
        return other

    def take(self, other: Laptop) -> None:
        """Merge with what the other one hands over."""
        merged = united(self.form, other.form)
        here = {event.head for event in self.events}
        self._clock = max(self._clock, other._clock)
        self.job = merged.job
        heads = other.heads()
        self.events += [event for event in other.events if event.head not in here]
        self._add("merge", {"heads": heads}, {})

    def write(self, kind: str, job: Job, readings: Sequence[Reading] = ()) -> None:
        """Change the job by one act."""
        changed, removed = changes(self.job, dataclasses.replace(job, readings=self.job.readings))
        entry = Entry(readings=readings, parts=changed, removed_parts=removed)
        self._add(kind, {}, content_of(entry, readings))
        self.job = dataclasses.replace(job, readings=(*self.job.readings, *readings))
        self.made += readings

    # What somebody does

    def key(self, row: str, text: str, *, core_id: str = "k1") -> Reading:
        """Key a text; it supersedes what stands last in the field."""
        stand = [one for one in standing(self.job.readings) if (one.core_id, one.row) == (core_id, row)]
        number = 1 + sum(one.device_id == self.device_id for one in self.job.readings)
        made = Reading(
            reading_id=f"{self.device_id}-{number}",
            core_id=core_id,
            procedure_id="resistance",
            take=1,
            row=row,
            quantity_id="r_measured_ohm",
            as_typed_text=text,
            value_text=text,
            person_id=self.device_id,
            at_utc=self._now(),
            utc_offset_minutes=0,
            device_id=self.device_id,
            device_seq=number,
            supersedes_id=stand[-1].reading_id if stand else None,
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
            at_utc=self._now(),
            utc_offset_minutes=0,
        )
        self.write("remark", dataclasses.replace(self.job, remarks=(*self.job.remarks, made)))

    def land(self, lead_id: str) -> None:
        made = Landing(
            landing_id=f"{self.device_id}-{len(self.events)}",
            core_id="k1",
            procedure_id="resistance",
            lead_id=lead_id,
            text=lead_id,
            person_id=self.device_id,
            at_utc=self._now(),
            utc_offset_minutes=0,
        )
        self.write("landing", dataclasses.replace(self.job, landings=(*self.job.landings, made)))

    def instrument(self, instrument_id: str, name_text: str) -> None:
        kept = [one for one in self.job.instruments if one.instrument_id != instrument_id]
        made = Instrument(instrument_id=instrument_id, name_text=name_text)
        self.write("instrument", dataclasses.replace(self.job, instruments=(*kept, made)))

    def without_instrument(self, instrument_id: str) -> None:
        kept = tuple(one for one in self.job.instruments if one.instrument_id != instrument_id)
        if len(kept) < len(self.job.instruments):
            self.write("instrument", dataclasses.replace(self.job, instruments=kept))

    def add_position(self, name: str) -> None:
        ct = CT(ct_id=f"t-{name}", phase_text="L1", cores=(dataclasses.replace(CORE, core_id=f"k-{name}"),))
        made = Position(position_id=f"p-{name}", name_text=name, cts=(ct,))
        if made.position_id not in {one.position_id for one in self.job.positions}:
            self.write("position", dataclasses.replace(self.job, positions=(*self.job.positions, made)))

    def without_position(self, name: str) -> None:
        """Take a set out, as long as nothing was read on it here."""
        if any(one.core_id == f"k-{name}" for one in self.job.readings):
            return
        kept = tuple(one for one in self.job.positions if one.position_id != f"p-{name}")
        if len(kept) < len(self.job.positions):
            self.write("position", dataclasses.replace(self.job, positions=kept))

    def class_text(self, text: str) -> None:
        position = self.job.positions[0]
        ct = position.cts[0]
        core = dataclasses.replace(ct.cores[0], class_text=text)
        position = dataclasses.replace(position, cts=(dataclasses.replace(ct, cores=(core,)),))
        self.write("plate", dataclasses.replace(self.job, positions=(position, *self.job.positions[1:])))

    def answer(self, kept: int) -> None:
        """Answer the first open question."""
        waiting = open_questions(self.job)
        if waiting:
            question, field = waiting[0]
            answer = Answered(
                field=field,
                kept=kept % len(question.sides),
                reason_text="looked",
                person_id=self.device_id,
                at_utc=self._now(),
                utc_offset_minutes=0,
            )
            # What stands on a set that would go has to be answered first.
            with suppress(BadInput):
                self.write("keep", answered(self.job, question, answer))

    def heads(self) -> list[list[object]]:
        found: dict[str, Event] = {}
        for event in self.events:
            if event.device_id not in found or found[event.device_id].n < event.n:
                found[event.device_id] = event
        return [[one.device_id, one.n, one.head] for _, one in sorted(found.items())]

    def _add(self, kind: str, where: dict[str, object], content: dict[str, object]) -> None:
        own = [event for event in self.events if event.device_id == self.device_id]
        act = Act(kind, self.device_id, f"Person {self.device_id}", self._now(), 0, "Etc/UTC", where)
        prev, n = (own[-1].head, own[-1].n) if own else (FIRST_PREV, 0)
        self.events.append(next_event(prev, n + 1, self.device_id, act, content))

    def _now(self) -> str:
        self._clock += 1
        hours, minutes, seconds = self._clock // 3600, self._clock // 60 % 60, self._clock % 60
        return f"2031-05-04T{8 + hours:02d}:{minutes:02d}:{seconds:02d}.000Z"


CORE = FIRST.positions[0].cts[0].cores[0]
