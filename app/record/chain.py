"""The hash chain of a device: each event holds the head before it, and the head after it covers both.

leaf = SHA-256(0x00 || canonical event), head = SHA-256(0x01 || head before || leaf).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from typing import Any, Final

from app.record.act import Act, ChainHead, Event, act_from_plain, act_to_plain
from app.record.canonical import canonical, parse_canonical
from ctcore.errors import BadInput

FIRST_PREV: Final = "0" * 64

_LEAF: Final = b"\x00"
_NODE: Final = b"\x01"


def event_bytes(event: Event) -> bytes:
    """The canonical bytes of an event: what its leaf is the digest of."""
    return _spell(event.device_id, event.n, event.prev, act=event.act, content=event.content)


def next_event(
    prev_head: str, n: int, device_id: str, act: Act, content: Mapping[str, Any] | None = None
) -> Event:
    """The event number `n` of a device after `prev_head`; the first one follows `FIRST_PREV`.

    >>> act = Act("job made", "p1", "A. Tester", "2031-05-04T08:42:07Z", 120, "Etc/UTC")
    >>> first = next_event(FIRST_PREV, 1, "d1", act)
    >>> verify_chain([first, next_event(first.head, 2, "d1", act)]) is None
    True
    """
    return spelled_event(prev_head, n, device_id, act, content)[0]


def spelled_event(
    prev_head: str, n: int, device_id: str, act: Act, content: Mapping[str, Any] | None = None
) -> tuple[Event, bytes]:
    """The next event as `next_event` makes it, together with its canonical bytes."""
    bound = dict(content or {})
    spelled = _spell(device_id, n, prev_head, act=act, content=bound)
    leaf = hashlib.sha256(_LEAF + spelled).digest()
    event = Event(
        device_id=device_id,
        n=n,
        prev=prev_head,
        act=act,
        digest=leaf.hex(),
        head=_head(prev_head, leaf),
        content=bound,
    )
    return event, spelled


def event_from_bytes(data: bytes, *, digest: str, head: str) -> Event:
    """An event read back from its canonical bytes with the digest and head kept beside it.

    The two are taken as they stand: `verify_chain` is what compares them. Other spellings are BadInput.
    """
    body = parse_canonical(data, where="event")
    try:
        return Event(
            device_id=body["device_id"],
            n=body["n"],
            prev=body["prev"],
            act=act_from_plain(body["act"]),
            digest=digest,
            head=head,
            content=body["content"],
        )
    except (KeyError, TypeError) as problem:
        raise BadInput("event", str(problem), "is missing or is of another kind") from problem


def verify_chain(events: Iterable[Event], expected: ChainHead | None = None) -> int | None:
    """The number of the first event that does not fit, or None where the chain of one device is whole.

    A cut tail leaves a chain that fits in itself: only a head kept elsewhere, `expected`, shows it.
    """
    prev, n, device_id = FIRST_PREV, 0, None
    for event in events:
        n += 1
        device_id = device_id or event.device_id
        if event.n != n or event.prev != prev or event.device_id != device_id or not _fits(event):
            return n
        if expected is not None and expected.n == n and expected.head != event.head:
            return n
        prev = event.head
    if expected is not None and (expected.n > n or (n > 0 and expected.device_id != device_id)):
        return n + 1
    return None


def _fits(event: Event) -> bool:
    again = next_event(event.prev, event.n, event.device_id, act=event.act, content=event.content)
    return again.digest == event.digest and again.head == event.head


def _head(prev_head: str, leaf: bytes) -> str:
    return hashlib.sha256(_NODE + bytes.fromhex(prev_head) + leaf).hexdigest()


def _spell(device_id: str, n: int, prev: str, *, act: Act, content: Mapping[str, Any]) -> bytes:
    return canonical(
        {
            "device_id": device_id,
            "n": n,
            "prev": prev,
            "act": act_to_plain(act),
            "content": dict(content),
        }
    )
