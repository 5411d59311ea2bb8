"""Where a job has been, by its events: who signed which revision, to whom it went, whether it is back."""

from __future__ import annotations

import base64
import dataclasses
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from app.desk.event_order import in_order
from app.desk.wall_clock import moment
from app.record.act import Act, Event

# Format: the kinds of acts that move a job; their `to` is a group of named values.
SIGN, TAKE_IN, SEND_BACK, ANSWER, TAKE_BACK = "sign", "take_in", "send_back", "answer", "take_back"
APPROVE, ISSUE = "approve", "issue"


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
    """What the events of a job say about its way, by revision.

    `tested` and `approved` are CMS signatures over the record, `answers` what was sent back with its
    signature, `packs` the digests of the packs that were issued. `sheets` are the digests of the signed
    sheets by the name under which the program itself kept them: a document of that name is none of them.
    """

    tested: dict[int, bytes] = field(default_factory=dict)
    approved: dict[int, bytes] = field(default_factory=dict)
    answers: dict[int, tuple[bytes, bytes]] = field(default_factory=dict)
    packs: dict[int, str] = field(default_factory=dict)
    sheets: dict[str, str] = field(default_factory=dict)
    away: Away | None = None

    def away_from(self, me_id: str) -> Away | None:
        """With whom the job is, seen by that person; None where it is here."""
        return self.away if self.away is not None and self.away.person_id != me_id else None


def journey_of(events: Iterable[Event]) -> Journey:
    """The way of a job in the order of the clock."""
    journey = Journey()
    away: Away | None = None
    for event in in_order(events):
        act = event.act
        to: Mapping[str, Any] = act.to if isinstance(act.to, dict) else {}
        _note_papers(journey, act, to)
        # Format: what the program keeps itself is named by a text, a document by its name and its digest.
        if act.kind == "attach" and isinstance(act.to, str) and "attachment" in event.content:
            journey.sheets[act.to] = str(event.content["attachment"]["digest"])
        if act.kind in (SIGN, SEND_BACK):
            away = _away(act, to)
        elif act.kind in (TAKE_IN, ANSWER, TAKE_BACK, "revise", "freeze"):
            away = None
    return dataclasses.replace(journey, away=away)


def _note_papers(journey: Journey, act: Act, to: Mapping[str, Any]) -> None:
    """Keep what an act signed; later acts about the same revision stand in the place of earlier ones."""
    if "revision" not in act.where:
        return
    revision = int(act.where["revision"])
    signatures = {SIGN: journey.tested, TAKE_IN: journey.tested, APPROVE: journey.approved}
    if act.kind in signatures and "signature" in to:
        signatures[act.kind][revision] = base64.b64decode(to["signature"])
    if act.kind in (SEND_BACK, ANSWER, TAKE_IN) and "answer" in to:
        pair = base64.b64decode(to["answer"]), base64.b64decode(to["answer_signature"])
        journey.answers[revision] = pair
    if act.kind in (ISSUE, ANSWER, TAKE_IN) and "pack" in to:
        journey.packs[revision] = str(to["pack"])


def spelled(data: bytes) -> str:
    """Bytes as an event holds them."""
    return base64.b64encode(data).decode("ascii")


def _away(act: Act, to: Mapping[str, Any]) -> Away:
    since = moment(act.at_utc, act.utc_offset_minutes)
    return Away(str(to.get("to_text", "")), since, str(to.get("to_id", "")))
