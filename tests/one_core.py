"""The smallest job there is, with acts and readings for it: what fault suites and benchmarks write."""

from __future__ import annotations

import uuid

from app.record.act import Act
from ctcore.job import CT, Core, Header, Job, Position, Reading, Tap

AT_UTC = "2031-05-04T08:42:07.120Z"


def one_core(job_id: str = "j1") -> Job:
    """A job with one core and no readings."""
    tap = Tap(tap_id="t1", terminals_text="S1-S2", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)
    core = Core(core_id="c1", number=1, class_text="5P20", taps=(tap,))
    ct = CT(ct_id="ct1", phase_text="L1", cores=(core,))
    position = Position(position_id="b1", name_text="Bay 1", cts=(ct,))
    return Job(job_id=job_id, header=Header(number_text="1042"), positions=(position,))


def act(kind: str = "reading", to: str | None = None) -> Act:
    """An act of one person on that core."""
    where = {"core_id": "c1", "procedure_id": "excitation", "take": 1, "row": "7", "quantity_id": "v"}
    return Act(kind, "p1", "A. Tester", AT_UTC, 120, "Etc/UTC", where, None, to)


def reading(text: str) -> Reading:
    """A reading of that core, as typed; device and sequence are the store's to give."""
    return Reading(
        reading_id=str(uuid.uuid4()),
        core_id="c1",
        procedure_id="excitation",
        take=1,
        row="7",
        quantity_id="v_excitation_v",
        as_typed_text=text,
        value_text=None,
        person_id="p1",
        at_utc=AT_UTC,
        utc_offset_minutes=120,
        device_id="",
        device_seq=0,
    )
