"""The events of a job as a file: whether they fit each other, and the heads in a signed record."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from app.record.act import ChainHead, Event
from app.record.canonical import canonical, parse_canonical
from app.record.chain import event_bytes, event_from_bytes, next_event
from app.record.problem import Altered
from ctcore.errors import BadInput


def to_bytes(events: Iterable[Event]) -> bytes:
    """The events as canonical JSON, each with its digest and head, by device and number."""
    ordered = sorted(events, key=lambda one: (one.device_id, one.n))
    return canonical(
        [
            {
                "event": parse_canonical(event_bytes(one), where="event"),
                "digest": one.digest,
                "head": one.head,
            }
            for one in ordered
        ]
    )


def from_bytes(data: bytes) -> list[Event]:
    """The events of a file; Altered where they are not in the one form."""
    try:
        return [
            event_from_bytes(canonical(one["event"]), digest=one["digest"], head=one["head"])
            for one in parse_canonical(data, where="events")
        ]
    except (BadInput, KeyError, TypeError) as problem:
        raise Altered("The events are not in the form that this program writes.") from problem


def demand_fitting(events: Sequence[Event], heads: Sequence[ChainHead]) -> None:
    """Altered where an event is not what its head says, or a head is not the one the record was signed with.

    A job has only some of the events of a device, so two are held against each other where they follow.
    """
    before: Event | None = None
    for event in events:
        try:
            again = next_event(event.prev, event.n, event.device_id, act=event.act, content=event.content)
        except (BadInput, TypeError, ValueError) as problem:
            raise Altered("An event cannot be read.") from problem
        follows = before is not None and (before.device_id, before.n + 1) == (event.device_id, event.n)
        broken = follows and before is not None and before.head != event.prev
        if (again.digest, again.head) != (event.digest, event.head) or broken:
            raise Altered(f"The trail is broken at event {event.n} of device {event.device_id}.")
        before = event
    by_place = {(one.device_id, one.n): one.head for one in events}
    for head in heads:
        if by_place.get((head.device_id, head.n), head.head) != head.head:
            where = f"The trail of device {head.device_id}"
            raise Altered(f"{where} is another than when the record was signed.")
