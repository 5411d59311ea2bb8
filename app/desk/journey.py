"""Where a job has been, by its events: who signed which revision, to whom it went, whether it is back."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from app.desk.wall_clock import moment
from app.record.act import Act, Event

# Format: the kinds of acts that move a job; their `to` is a group of named values.
SIGN, TAKE_IN, SEND_BACK, ANSWER, TAKE_BACK = "sign", "take_in", "send_back", "answer", "take_back"


@dataclass(frozen=True, slots=True)
class Away:
    """With whom a job is, and since when; `person_id` is empty where only a name was given."""

    name_text: str
    since_text: str
    person_id: str = ""

    @property
    def words(self) -> str:
        """As it stands in a sentence after "the job is"."""
        return f"with {self.name_text} since {self.since_text}"


@dataclass(frozen=True, slots=True)
class Journey:
    """What the events of a job say about its way. `tested` holds a CMS signature per signed revision."""

    tested: Mapping[int, bytes] = field(default_factory=dict)
    away: Away | None = None

    def away_from(self, me_id: str) -> Away | None:
        """With whom the job is, seen by that person; None where it is here."""
        return self.away if self.away is not None and self.away.person_id != me_id else None


def journey_of(events: Iterable[Event]) -> Journey:
    """The way of a job in the order of the clock."""
    tested: dict[int, bytes] = {}
    away: Away | None = None
    for event in sorted(events, key=lambda one: (one.act.at_utc, one.device_id, one.n)):
        act = event.act
        to: Mapping[str, Any] = act.to if isinstance(act.to, dict) else {}
        if act.kind in (SIGN, TAKE_IN) and "signature" in to:
            tested[int(act.where["revision"])] = base64.b64decode(to["signature"])
        if act.kind in (SIGN, SEND_BACK):
            away = _away(act, to)
        elif act.kind in (TAKE_IN, ANSWER, TAKE_BACK, "revise", "freeze"):
            away = None
    return Journey(tested, away)


def spelled(data: bytes) -> str:
    """Bytes as an event holds them."""
    return base64.b64encode(data).decode("ascii")


def _away(act: Act, to: Mapping[str, Any]) -> Away:
    since = moment(act.at_utc, act.utc_offset_minutes)
    return Away(str(to.get("to_text", "")), since, str(to.get("to_id", "")))
