"""The trail in words: who did what, when, on which device, from what to what; by field, core or job."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from app.desk.chains import ChainCore
from app.desk.clock_watch import MOST_S
from app.desk.event_order import in_order
from app.desk.readiness import place_words
from app.desk.states import row_of
from app.desk.view import Address
from app.desk.wall_clock import moment, seconds_between
from app.record.act import Act, Event
from app.words import all_procedures, in_line, quantity_in_words, told
from ctcore.job import ANSWER_WORDS, DECISION_WORDS, METHOD_ROW, Job, Reading, places
from ctcore.quantities import QUANTITIES

WHAT: Final[Mapping[str, str]] = {
    "job": "job made",
    "take_in": "job taken in",
    "header": "title block changed",
    "references": "limits changed",
    "limit": "limit replaced",
    "position": "position changed",
    "plate": "plate changed",
    "plan": "tests planned",
    "plan_order": "tests put in order",
    "leave_out": "test set not applicable",
    "take_up": "test taken up again",
    "instrument": "instrument named",
    "person": "person named",
    "reading": "read",
    "correction": "corrected",
    "strike": "struck",
    "caution": "caution read",
    "landing": "lead ticked as landed",
    "landing_off": "lead taken off",
    "remark": "remark",
    "comment": "comment",
    "answer_comment": "comment answered",
    "close_comment": "comment closed",
    "reopen_comment": "comment opened again",
    "deviation": "deviation noted",
    "decision": "decided",
    "undo": "undone",
    "redo": "done again",
    "freeze": "frozen, not signed",
    "sign": "signed as tested and handed in",
    "revise": "new revision begun",
    "take_back": "taken back",
    "send_back": "signed and sent back",
    "answer": "answer taken in",
    "approve": "signed as approved",
    "issue": "issued",
    "supersede": "superseded",
    "void": "made void",
    "archived": "archived",
    "not_archived": "not archived",
    "attach": "file attached",
    "strike_attached": "attached file struck",
    "give_out": "written to a file",
    "hand_out": "handed out to another computer",
    "merge": "merged with another computer",
    "keep": "said which of two values holds",
    "print": "printed",
    "field_forms": "field forms written",
    "key": "key made",
    "clock": "clock of the computer put",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TrailLine:
    """One act in words. `note_text` says where the clock of the device had gone back."""

    when_text: str
    who_text: str
    device_id: str
    n: int
    what_text: str
    where_text: str
    from_text: str
    to_text: str
    note_text: str = ""


class TrailVerbs(ChainCore):
    """Looking back."""

    def trail(
        self, job_id: str, core_id: str | None = None, address: Address | None = None
    ) -> tuple[TrailLine, ...]:
        """What was done to a job, to one of its cores or in one field, in the order of the clock."""
        its = self._of(job_id)
        if address is not None:
            return field_trail(its.job, address)
        events = self._events_of(job_id)
        if core_id is not None:
            events = [event for event in events if _touches(event.act, core_id)]
        return job_trail(its.job, events)


def job_trail(job: Job, events: Sequence[Event]) -> tuple[TrailLine, ...]:
    """A line per event, in the order of the clock; events of one device stay in their own order."""
    notes = _clock_notes(events)
    names = {place.core.core_id: place_words(place) for place in places(job)}
    return tuple(_line(event, names, notes.get((event.device_id, event.n), "")) for event in in_order(events))


def field_trail(job: Job, address: Address) -> tuple[TrailLine, ...]:
    """A line per reading that was ever entered in a field."""
    entries = [entry for entry in job.readings if _address_of(entry) == address]
    by_id = {entry.reading_id: entry for entry in entries}
    people = {person.person_id: person.name_text for person in job.people}
    names = {place.core.core_id: place_words(place) for place in places(job)}
    lines = []
    for entry in entries:
        before = by_id.get(entry.supersedes_id or "")
        lines.append(
            TrailLine(
                when_text=moment(entry.at_utc, entry.utc_offset_minutes),
                who_text=people.get(entry.person_id, entry.person_id),
                device_id=entry.device_id,
                n=entry.device_seq,
                what_text=_what_of(entry, before),
                where_text=_field_words(entry, names),
                from_text=before.as_typed_text if before else "",
                to_text=entry.as_typed_text,
                note_text=entry.reason_text,
            )
        )
    return tuple(lines)


def _what_of(entry: Reading, before: Reading | None) -> str:
    if entry.withdrawn:
        return _what("undo")
    if entry.struck:
        return _what("strike")
    return _what("correction" if before is not None else "reading")


def _what(kind: str) -> str:
    return told(f"trail.{kind}", WHAT.get(kind, kind))


def _field_words(entry: Reading, names: Mapping[str, str]) -> str:
    known = next((one for one in QUANTITIES if one.quantity_id == entry.quantity_id), None)
    name = quantity_in_words(known).name if known is not None else entry.quantity_id
    row = "" if entry.row == METHOD_ROW else f", row {entry.row}"
    return f"{_place(entry.core_id, entry.procedure_id, names)}, take {entry.take}{row}: {name}"


def _line(event: Event, names: Mapping[str, str], note_text: str) -> TrailLine:
    act = event.act
    return TrailLine(
        when_text=moment(act.at_utc, act.utc_offset_minutes),
        who_text=act.person_name_text,
        device_id=event.device_id,
        n=event.n,
        what_text=_what(act.kind),
        where_text=_place(str(act.where.get("core_id", "")), str(act.where.get("procedure_id", "")), names),
        from_text=_said(act.from_),
        to_text=_said_of(act),
        note_text=note_text,
    )


def _said_of(act: Act) -> str:
    if act.kind == "decision" and isinstance(act.to, list) and len(act.to) >= 2:
        words = told(f"decision.{act.to[0]}", DECISION_WORDS.get(act.to[0], str(act.to[0])))
        valid = [f"holds {said}" for said in act.to[2:] if said]
        said = "; ".join([*([act.to[1]] if act.to[1] else []), *valid])
        return f"{words}: {said}" if said else words
    if act.kind == "answer_comment":
        answer = act.where["answer"]
        return f"{told(f'step.{answer}', ANSWER_WORDS[answer])}: {_said(act.to)}"
    return _said(act.to)


def _said(value: Any) -> str:
    """What JSON holds, as a person reads it; signatures and other bytes are left out."""
    if value is None or value == "":
        return ""
    if isinstance(value, dict):
        shown = {name: _said(entry) for name, entry in value.items() if name.endswith("_text")}
        return ", ".join(entry for entry in shown.values() if entry)
    if isinstance(value, list):
        return ", ".join(text for entry in value if (text := _said(entry)))
    try:
        return told(f"state.{value}", row_of(value).words)
    except (KeyError, TypeError):
        return str(value)


def _place(core_id: str, procedure_id: str, names: Mapping[str, str]) -> str:
    place = names.get(core_id, core_id) or "whole job"
    tests = {row.procedure_id: row.short_name for row in all_procedures()}
    test = tests.get(procedure_id, procedure_id)
    return f"{place}, {in_line(test)}" if test else place


def _touches(act: Act, core_id: str) -> bool:
    lines = act.where.get("lines", ())
    if core_id in act.where.get("core_ids", ()):
        return True
    return act.where.get("core_id") == core_id or any(line[1] == core_id for line in lines)


def _clock_notes(events: Iterable[Event]) -> dict[tuple[str, int], str]:
    """Where the clock of a device had gone back since the event before."""
    notes: dict[tuple[str, int], str] = {}
    before: dict[str, Event] = {}
    for event in sorted(events, key=lambda one: (one.device_id, one.n)):
        last = before.get(event.device_id)
        gone = seconds_between(last.act.at_utc, event.act.at_utc) if last is not None else None
        if gone is not None and gone < -MOST_S:
            notes[(event.device_id, event.n)] = f"the clock had gone back by {-gone / 60:.0f} min"
        before[event.device_id] = event
    return notes


def _address_of(entry: Reading) -> Address:
    return Address(entry.core_id, entry.procedure_id, entry.take, entry.row, entry.quantity_id)
