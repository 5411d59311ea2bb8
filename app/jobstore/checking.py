"""Whether the store still is what its events say: pages, links, chains, readings, parts, records."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Final

from sqlalchemy import Connection, RowMapping, select

from app.jobstore import tables
from app.jobstore.rows import READING_COLUMNS, event_of, part_of, reading_of
from app.jobstore.writing import readings_digest
from app.record.act import Event
from app.record.canonical import canonical, digest
from app.record.chain import verify_chain
from ctcore.errors import BadInput
from ctcore.job import Reading

EventKey = tuple[str, int]

_READINGS: Final = select(
    *READING_COLUMNS, tables.reading.c.event_device_id, tables.reading.c.event_n
).order_by(tables.reading.c.reading_no)
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
    by_key = {(event.device_id, event.n): event for event in events}
    found += _reading_faults(connection, by_key)
    found += _part_faults(connection, by_key)
    found += _record_faults(connection, by_key)
    return found


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


def _reading_faults(connection: Connection, events: dict[EventKey, Event]) -> Iterator[str]:
    brought: dict[EventKey, list[Reading]] = defaultdict(list)
    for row in connection.execute(_READINGS):
        brought[(row.event_device_id, row.event_n)].append(reading_of(row))
    for key, event in events.items():
        wanted = event.content.get("readings")
        found = readings_digest(brought[key]) if brought[key] else None
        if wanted != found:
            yield f"The readings of event {key[1]} of device {key[0]} are not those that were entered."


def _part_faults(connection: Connection, events: dict[EventKey, Event]) -> Iterator[str]:
    for row in connection.execute(select(tables.part)).mappings():
        event = events.get((row["event_device_id"], row["event_n"]))
        wanted = event.content.get("parts", {}).get(row["part_id"]) if event else None
        if wanted != digest(canonical(part_of(row).body)):
            yield f"The entry {row['part_id']} of job {row['job_id']} is not the one that was saved."


def _record_faults(connection: Connection, events: dict[EventKey, Event]) -> Iterator[str]:
    for row in connection.execute(select(tables.revision)).mappings():
        event = events.get((row["event_device_id"], row["event_n"]))
        wanted = event.content.get("record") if event else None
        found = {"revision": row["revision"], "digest": digest(row["record"])}
        if wanted != found or row["digest"] != found["digest"]:
            yield f"Revision {row['revision']} of job {row['job_id']} is not the one that was frozen."
