"""Whether the store still is what its events say: pages, links, chains, readings, parts, records."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Any, Final

from sqlalchemy import Connection, RowMapping, select

from app.jobstore import tables
from app.jobstore.rows import READING_COLUMNS, attachment_of, event_of, part_of, reading_of
from app.jobstore.writing import readings_digest
from app.record import revision
from app.record.act import Event
from app.record.canonical import canonical, digest
from app.record.chain import verify_chain
from ctcore import plain
from ctcore.errors import BadInput
from ctcore.job import Reading

EventKey = tuple[str, int]
PartKey = tuple[str, str]

_READINGS: Final = select(
    *READING_COLUMNS,
    tables.reading.c.job_id,
    tables.reading.c.event_device_id,
    tables.reading.c.event_n,
).order_by(tables.reading.c.reading_no)
_NUMBERS: Final = select(tables.job.c.job_id, tables.job.c.number_text)
_EVENTS: Final = select(tables.event).order_by(tables.event.c.device_id, tables.event.c.n)


def faults(connection: Connection) -> list[str]:
    """A sentence for everything that does not fit; none where the store is whole."""
    pages = [row[0] for row in connection.exec_driver_sql("PRAGMA integrity_check")]
    if pages != ["ok"]:
        return [f"The file can't be read in full: {pages[0]}."]
    found = []
    if connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall():
        found.append("Rows point to rows that are not there.")
    try:
        rows = connection.execute(_EVENTS).mappings().all()
        events = [event_of(row) for row in rows]
    except BadInput as problem:
        return [*found, f"An event of the trail can't be read: {problem}."]
    found += _filing_faults(rows, events)
    found += _chain_faults(events)
    trail = _Trail(connection, events)
    found += _reading_faults(connection, trail)
    found += _part_faults(connection, trail)
    found += _record_faults(connection, trail)
    found += _attachment_faults(connection, trail)
    found += _line_faults(connection, trail)
    return found


class _Trail:
    """The events by place, and the number of each job for sentences."""

    def __init__(self, connection: Connection, events: Sequence[Event]) -> None:
        self.by_key = {(event.device_id, event.n): event for event in events}
        self._numbers: dict[str, str] = {row.job_id: row.number_text for row in connection.execute(_NUMBERS)}
        self.jobs = frozenset(self._numbers)

    def brought(self, row: RowMapping) -> Event | None:
        """The event that brought a row into the job in which it stands."""
        event = self.by_key.get((row["event_device_id"], row["event_n"]))
        return event if event is not None and job_of(event) == row["job_id"] else None

    def named(self, job_id: str) -> str:
        """The job as its people call it."""
        return f"job {self._numbers.get(job_id) or job_id}"


def job_of(event: Event) -> str:
    """The job that an event is about."""
    return str(event.act.where.get("job_id", ""))


def _filing_faults(rows: Sequence[RowMapping], events: list[Event]) -> Iterator[str]:
    """What is filed beside an event to find it by has to be what the event itself says."""
    for row, event in zip(rows, events, strict=True):
        said = {
            "device_id": event.device_id,
            "n": event.n,
            "prev": event.prev,
            "job_id": event.act.where.get("job_id"),
            "kind": event.act.kind,
            "person_id": event.act.person_id,
            "at_utc": event.act.at_utc,
        }
        if any(row[name] != value for name, value in said.items()):
            yield f"The event {row['n']} of device {row['device_id']} is filed as another than it says."


def _chain_faults(events: list[Event]) -> Iterator[str]:
    chains: dict[str, list[Event]] = defaultdict(list)
    for event in events:
        chains[event.device_id].append(event)
    for device_id, chain in chains.items():
        broken = verify_chain(chain)
        if broken is not None:
            yield f"The trail of device {device_id} is broken at event {broken}."


def _reading_faults(connection: Connection, trail: _Trail) -> Iterator[str]:
    brought: dict[EventKey, list[Reading]] = defaultdict(list)
    jobs: dict[EventKey, set[str]] = defaultdict(set)
    for row in connection.execute(_READINGS):
        brought[(row.event_device_id, row.event_n)].append(reading_of(row))
        jobs[(row.event_device_id, row.event_n)].add(row.job_id)
    for key, event in trail.by_key.items():
        wanted = event.content.get("readings")
        found = readings_digest(brought[key]) if brought[key] else None
        if wanted != found or jobs[key] - {job_of(event)}:
            where = f"event {key[1]} of device {key[0]} ({trail.named(job_of(event))})"
            yield f"The readings of {where} are not those that were entered."


def _part_faults(connection: Connection, trail: _Trail) -> Iterator[str]:
    last = _last_of_parts(trail)
    here: set[PartKey] = set()
    for row in connection.execute(select(tables.part)).mappings():
        key = (row["job_id"], row["part_id"])
        here.add(key)
        if not _is_as_brought(row, trail.brought(row), last[key]):
            yield f"The entry {key[1]} of {trail.named(key[0])} is not the one that was saved."
    for key, by_device in last.items():
        if key not in here and all(present for _, present in by_device.values()):
            yield f"The entry {key[1]} of {trail.named(key[0])} is gone."


def _last_of_parts(trail: _Trail) -> dict[PartKey, dict[str, tuple[int, bool]]]:
    """The last event of each device about each entry of a job, and whether it left the entry there."""
    last: dict[PartKey, dict[str, tuple[int, bool]]] = defaultdict(dict)
    for event in trail.by_key.values():
        for present, names in ((False, "removed_parts"), (True, "parts")):
            for part_id in event.content.get(names, ()):
                last[(job_of(event), part_id)][event.device_id] = (event.n, present)
    return last


def _is_as_brought(row: RowMapping, event: Event | None, last: dict[str, tuple[int, bool]]) -> bool:
    """Whether an entry is, in every column, what the last event about it brought."""
    if event is None or last.get(event.device_id) != (event.n, True):
        return False
    part = part_of(row)
    # Assumption: events of an older program do not say in which place of its list an entry stands.
    order = event.content.get("part_orders", {}).get(part.part_id, part.order)
    kind = part.part_id.partition(":")[0]
    wanted = event.content.get("parts", {}).get(part.part_id)
    return (wanted, order, kind) == (digest(canonical(part.body)), part.order, part.kind)


def _record_faults(connection: Connection, trail: _Trail) -> Iterator[str]:
    here: set[EventKey] = set()
    stored = {(row.job_id, row.reading_id): reading_of(row) for row in connection.execute(_READINGS)}
    for row in connection.execute(select(tables.revision)).mappings():
        here.add((row["event_device_id"], row["event_n"]))
        event = trail.brought(row)
        said = None if event is None else (event.content.get("record"), event.act.at_utc)
        found = {"revision": row["revision"], "digest": digest(row["record"])}
        if said != (found, row["frozen_at_utc"]) or row["digest"] != found["digest"]:
            where = trail.named(row["job_id"])
            yield f"Revision {row['revision']} of {where} is not the one that was frozen."
        elif any(stored.get((row["job_id"], one.reading_id)) != one for one in _frozen(row["record"])):
            where = trail.named(row["job_id"])
            its = f"Revision {row['revision']} of {where}"
            yield f"{its} was frozen with other readings than the job has here."
    for event in _left_out(trail, "record", here):
        yield f"Revision {event.content['record']['revision']} of {trail.named(job_of(event))} is gone."


def _frozen(record: bytes) -> Sequence[Reading]:
    """The readings of a frozen record: none where this program cannot read it, which a check of it says."""
    try:
        return revision.from_bytes(record).job.readings
    except BadInput:
        return ()


def _attachment_faults(connection: Connection, trail: _Trail) -> Iterator[str]:
    here: set[EventKey] = set()
    for row in connection.execute(select(tables.attachment)).mappings():
        here.add((row["event_device_id"], row["event_n"]))
        event = trail.brought(row)
        wanted = event.content.get("attachment") if event is not None else None
        if wanted != plain.flatten(attachment_of(row)):
            yield f"The file {row['name_text']} is not filed with {trail.named(row['job_id'])} as it was."
    for event in _left_out(trail, "attachment", here):
        name_text = event.content["attachment"]["name_text"]
        yield f"The file {name_text} is no longer filed with {trail.named(job_of(event))}."


def _left_out(trail: _Trail, name: str, here: set[EventKey]) -> Iterator[Event]:
    """The events that brought something which is not here."""
    return (event for key, event in trail.by_key.items() if name in event.content and key not in here)


def _line_faults(connection: Connection, trail: _Trail) -> Iterator[str]:
    """The line of the list of jobs says again what the entries and events of the job say."""
    events: dict[str, list[Event]] = defaultdict(list)
    for event in trail.by_key.values():
        events[job_of(event)].append(event)
    for row in connection.execute(select(tables.job)).mappings():
        about = tables.part.c.job_id == row["job_id"]
        parts = connection.execute(select(tables.part).where(about)).mappings().all()
        if not _line_fits(row, parts, events[row["job_id"]]):
            yield f"The line of {trail.named(row['job_id'])} in the list of jobs is not what was saved."
    for job_id in sorted(set(events) - trail.jobs):
        yield f"The job {job_id} is gone from the list of jobs."


def _line_fits(row: RowMapping, parts: Sequence[RowMapping], events: list[Event]) -> bool:
    header_row = next((one for one in parts if one["kind"] == "header"), None)
    if header_row is None or not events:
        return False
    header = part_of(header_row).body
    cores = sum(len(part_of(one).body["cores"]) for one in parts if one["kind"] == "ct")
    # Assumption: events of several devices have no order but the clock's, so the last of any may be the last.
    lasts = {event.device_id: event for event in events}.values()
    return (
        row["core_count"] == cores
        and all(row[name] == header["header"][name] for name in ("number_text", "title_text", "site_text"))
        and row["changed_at_utc"] in {event.act.at_utc for event in lasts}
        and row["created_at_utc"] in {event.act.at_utc for event in events}
        and row["state"] in _states(events, header_row["event_device_id"], header_row["event_n"], header)
    )


def _states(events: list[Event], device_id: str, n: int, header: dict[str, Any]) -> set[str]:
    """The states that the job may be in: the last that each device set, in its own word or in the header."""
    set_it = [event for event in events if "state" in event.content]
    last = {event.device_id: (event.n, event.content["state"]) for event in set_it}
    if last.get(device_id, (0, ""))[0] < n:
        last[device_id] = (n, header["state"])
    return {state for _, state in last.values()}
