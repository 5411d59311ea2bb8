"""Two stores side by side: how far each goes, and what one has that the other lacks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile

from app.desk.wall_clock import moment
from app.jobstore import Store
from app.record.act import Event


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreSide:
    """One of the two in words: its name, its jobs, its last entry, and what the other lacks of it."""

    name_text: str
    jobs_count: int
    counts_text: str
    last_text: str
    head_text: str
    only_here_text: str


def side_by_side(present: Store, other: Store) -> tuple[StoreSide, StoreSide]:
    """Both sides, the present one first."""
    ours, theirs = present.events(), other.events()
    return _side(present, ours, theirs), _side(other, theirs, ours)


def _side(store: Store, events: Sequence[Event], others: Sequence[Event]) -> StoreSide:
    last = max(events, key=lambda one: one.act.at_utc, default=None)
    heads = store.heads()
    jobs_count = len(store.jobs())
    return StoreSide(
        name_text=store.path.name,
        jobs_count=jobs_count,
        counts_text=f"{counted(jobs_count, 'job', 'jobs')}, {counted(len(events), 'entry', 'entries')}",
        last_text=moment(last.act.at_utc, last.act.utc_offset_minutes) if last else "nothing entered yet",
        head_text=", ".join(f"{one.n} · {one.head[:16]}" for one in heads) or "none",
        only_here_text=_only_here(store, events, others),
    )


def _only_here(store: Store, events: Sequence[Event], others: Sequence[Event]) -> str:
    """What is in the one and not in the other; a trail that parted counts from where it did."""
    there = {(one.device_id, one.n, one.head) for one in others}
    more: list[Event] = []
    for device_id in sorted({one.device_id for one in events}):
        its = [one for one in events if one.device_id == device_id]
        shared = len(list(takewhile(lambda one: (one.device_id, one.n, one.head) in there, its)))
        more += its[shared:]
    if not more:
        return "Nothing that the other lacks."
    numbers = {line.job_id: line.number_text or line.job_id for line in store.jobs()}
    jobs = sorted({numbers.get(str(one.act.where.get("job_id", "")), "") for one in more} - {""})
    last = max(more, key=lambda one: one.act.at_utc).act
    entries = counted(len(more), "entry", "entries")
    readings = sum(int(one.content.get("readings_count", 0)) for one in more)
    frozen = sum("record" in one.content for one in more)
    parts = [f"{entries} that the other lacks, the last of {moment(last.at_utc, last.utc_offset_minutes)}"]
    if readings:
        parts.append(counted(readings, "reading", "readings"))
    if frozen:
        parts.append(counted(frozen, "frozen revision", "frozen revisions"))
    return f"{', '.join(parts)}; in {'jobs' if len(jobs) > 1 else 'job'} {', '.join(jobs)}."


def counted(count: int, one: str, more: str) -> str:
    """A number of things.

    >>> counted(1, "entry", "entries"), counted(2, "entry", "entries")
    ('1 entry', '2 entries')
    """
    return f"{count} {one if count == 1 else more}"
