"""The versions of a part: which events brought them, what they say, and which of them stand."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from app.desk.merging.bodies import Body, joined
from app.desk.merging.history import History, Touch
from app.desk.merging.said import Said, spelled
from app.record.canonical import digest


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """What one event made of a part; no body where it took it out, no dot where no event tells."""

    dot: str
    at_utc: str
    utc_offset_minutes: int
    person_text: str
    body: Body | None
    body_text: str
    order: int = 0

    @property
    def key(self) -> str:
        """What tells it from the others of its part."""
        return self.dot or untold_key(self.body_text)

    @property
    def stamp(self) -> tuple[str, str, str]:
        """The later one of two comes last."""
        return (self.at_utc, self.dot, self.body_text)


def untold_key(body_text: str) -> str:
    """What tells a version that no event tells of from others."""
    return f"? {body_text}"


def versions_of(part_id: str, said: Iterable[Said], history: History) -> tuple[Version, ...]:
    """Every version of a part that is known, and every standing event that took it out, the latest last."""
    touches = {touch.dot: touch for touch in history.touches(part_id)}
    texts: dict[str, set[str]] = {}
    found: dict[str, Version] = {}
    for one in said:
        if not one.dot:
            version = _untold(one)
            known = found.setdefault(version.key, version)
            found[version.key] = min(known, version, key=lambda its: its.order)
        elif one.dot in touches and touches[one.dot].digest_hex:
            texts.setdefault(one.dot, set()).add(one.body_text)
    for dot, its in texts.items():
        found[dot] = _version(touches[dot], _one_of(its, touches[dot].digest_hex))
    for touch in history.standing(part_id):
        if not touch.digest_hex:
            found[touch.dot] = _version(touch, "")
    return tuple(sorted(found.values(), key=lambda one: one.stamp))


def _one_of(texts: set[str], digest_hex: str) -> str:
    """What an event said, of two memories of it: the one that it bound, else both together."""
    bound = [text for text in texts if digest(text.encode()) == digest_hex]
    first, *rest = bound or sorted(texts, reverse=True)
    body: Body = json.loads(first)
    for text in rest:
        body = joined(body, json.loads(text))
    return spelled(body) if rest else first


def _version(touch: Touch, text: str) -> Version:
    act = touch.event.act
    return Version(
        dot=touch.dot,
        at_utc=act.at_utc,
        utc_offset_minutes=act.utc_offset_minutes,
        person_text=act.person_name_text,
        body=json.loads(text) if text else None,
        body_text=text,
    )


def _untold(one: Said) -> Version:
    return Version(
        dot="",
        at_utc="",
        utc_offset_minutes=0,
        person_text="",
        body=json.loads(one.body_text),
        body_text=one.body_text,
        order=one.order,
    )
