"""The day of one core: its tests in their order, when each was done, and what departs from the order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.desk.board import verdicts_of
from app.desk.view import View
from ctcore.findings import Verdict
from ctcore.job import places
from ctcore.notices import notices_of_core
from ctcore.notices.order import ORDER
from ctcore.plan import PlanStep, steps_of
from ctcore.procedures import planned, procedure
from ctcore.takes import Take


@dataclass(frozen=True, slots=True)
class DayLine:
    """One test of the day: when by the clock of the site, how long it took, and how it stands."""

    step: PlanStep
    name: str
    when_text: str
    took_text: str
    verdict: Verdict
    is_planned: bool
    is_next: bool = False


def day_of(view: View, core_id: str) -> tuple[DayLine, ...]:
    """A line per test; the first that waits to be begun is the next one."""
    core = next(place.core for place in places(view.job) if place.core.core_id == core_id)
    verdicts, plan = verdicts_of(view, core_id), {test.procedure_id for test in planned(core)}
    steps = steps_of(core, view.takes)
    following = next((step.procedure_id for step in steps if step.is_open), "")
    return tuple(
        DayLine(
            step,
            procedure(step.procedure_id).name,
            _when(step, view.takes.get((core_id, step.procedure_id), ())),
            _took(step.took_s),
            verdicts.get(step.procedure_id, "not tested"),
            step.procedure_id in plan,
            step.procedure_id == following,
        )
        for step in steps
    )


def departures_of(view: View, core_id: str) -> tuple[str, ...]:
    """What was noticed about the order of the tests of a core, in sentences."""
    place = next(entry for entry in places(view.job) if entry.core.core_id == core_id)
    known = {row.notice_id for row in ORDER}
    found = notices_of_core(view.job, place, view.takes)
    return tuple(notice.sentence for notice in found if notice.notice_id in known)


def moved(names: Sequence[str], name: str, by: int) -> tuple[str, ...]:
    """The names with one of them moved by so many places, as far as the ends let it.

    >>> moved(("a", "b", "c"), "c", -1)
    ('a', 'c', 'b')
    """
    rest = [entry for entry in names if entry != name]
    at = min(max(list(names).index(name) + by, 0), len(rest))
    return (*rest[:at], name, *rest[at:])


def _when(step: PlanStep, takes: tuple[Take, ...]) -> str:
    if not step.began_utc:
        return ""
    offsets = dict(_stamps(takes))
    start, end = (_local(at, offsets[at]) for at in (step.began_utc, step.ended_utc))
    last = f"{end:%H:%M}" if end.date() == start.date() else f"{end:%d %b %H:%M}"
    return f"{start:%d %b %H:%M}–{last}"


def _stamps(takes: tuple[Take, ...]) -> Iterator[tuple[str, int]]:
    return (
        (reading.at_utc, reading.utc_offset_minutes)
        for take in takes
        for row in (take.method, *take.rows)
        for cell in row.cells.values()
        for reading in cell.readings
    )


def _local(at_utc: str, offset_minutes: int) -> datetime:
    return datetime.fromisoformat(at_utc) + timedelta(minutes=offset_minutes)


def _took(seconds: float | None) -> str:
    if seconds is None:
        return ""
    if seconds < 60.0:
        return "under 1 min"
    minutes = round(seconds / 60.0)
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h {minutes % 60} min"
