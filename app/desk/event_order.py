"""The order of events of several devices."""

from __future__ import annotations

from collections.abc import Iterable

from app.record.act import Event


def in_order(events: Iterable[Event]) -> list[Event]:
    """By the clock, but never against the order of a device: no event counts as earlier than one before."""
    latest: dict[str, str] = {}
    keyed = []
    for event in sorted(events, key=lambda one: (one.device_id, one.n)):
        latest[event.device_id] = max(latest.get(event.device_id, ""), event.act.at_utc)
        keyed.append((latest[event.device_id], event.device_id, event.n, event))
    return [event for *_, event in sorted(keyed, key=lambda one: one[:3])]
