"""What somebody did, as the trail keeps it: an act, and the event that chains it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Act:
    """Who did what, when and where, with the value before and after.

    `at_utc` is UTC text ("2031-05-04T08:42:07.120Z"), `utc_offset_minutes` what the clock on the wall was
    ahead of it, `zone` the IANA zone of the site. `where`, `from_` and `to` hold what JSON can carry.
    """

    kind: str
    person_id: str
    person_name_text: str
    at_utc: str
    utc_offset_minutes: int
    zone: str
    where: dict[str, Any] = field(default_factory=dict)
    from_: Any = None
    to: Any = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One link of the chain of one device.

    `prev` and `head` are the heads before and after, `digest` is the leaf. `content` holds digests of what
    was stored together with the event, so that a stored row cannot be changed without breaking the chain.
    """

    device_id: str
    n: int
    prev: str
    act: Act
    digest: str
    head: str
    content: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ChainHead:
    """Where the chain of a device stood: after event `n`, with that head."""

    device_id: str
    n: int
    head: str


def act_to_plain(act: Act) -> dict[str, Any]:
    """The act as the trail spells it.

    >>> act_to_plain(Act("key", "p1", "A. Tester", "2031-05-04T08:42:07Z", 120, "Etc/UTC", to="1"))["to"]
    '1'
    """
    return {
        "kind": act.kind,
        "person_id": act.person_id,
        "person_name_text": act.person_name_text,
        "at_utc": act.at_utc,
        "utc_offset_minutes": act.utc_offset_minutes,
        "zone": act.zone,
        "where": act.where,
        "from": act.from_,
        "to": act.to,
    }


def act_from_plain(data: dict[str, Any]) -> Act:
    """The act of a spelled one; KeyError where a name is missing."""
    return Act(
        kind=data["kind"],
        person_id=data["person_id"],
        person_name_text=data["person_name_text"],
        at_utc=data["at_utc"],
        utc_offset_minutes=data["utc_offset_minutes"],
        zone=data["zone"],
        where=data["where"],
        from_=data["from"],
        to=data["to"],
    )
