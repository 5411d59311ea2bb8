"""Rows of the tables to and from the plain data of the program."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any, Final, cast

from sqlalchemy import RowMapping

from app.jobstore import tables
from app.jobstore.answers import Attachment
from app.jobstore.parts import Part, PartKind
from app.record.act import Event
from app.record.canonical import canonical, parse
from app.record.chain import event_from_bytes
from ctcore import plain
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.job import Reading

READING_FIELDS: Final = tuple(entry.name for entry in dataclasses.fields(Reading))
READING_COLUMNS: Final = tuple(tables.reading.c[name] for name in READING_FIELDS)
_FLAGS: Final = ("over_range", "under_range", "struck", "withdrawn")
_TEXT_FIELDS: Final = tuple(
    entry.name for entry in dataclasses.fields(Reading) if entry.type in ("str", "str | None")
)


def reading_row(reading: Reading, *, job_id: str, event: Event) -> dict[str, Any]:
    """The row of a reading; raises BadInput for text that no store can hold."""
    row: dict[str, Any] = {name: getattr(reading, name) for name in READING_FIELDS}
    for name in _TEXT_FIELDS:
        demand_text(f"reading.{name}", row[name])
    for name in _FLAGS:
        row[name] = int(row[name])
    return {"job_id": job_id, **row, "event_device_id": event.device_id, "event_n": event.n}


def reading_of(row: Sequence[Any]) -> Reading:
    """The reading of a row that begins with the columns of `READING_COLUMNS`."""
    values = dict(zip(READING_FIELDS, row, strict=False))
    for name in _FLAGS:
        values[name] = values[name] == 1
    return Reading(**values)


def part_row(part: Part, *, job_id: str, event: Event) -> dict[str, Any]:
    """The row of a part of a job."""
    return {
        "job_id": job_id,
        "part_id": part.part_id,
        "kind": part.kind,
        "sort": part.order,
        "body": canonical(part.body).decode(),
        "event_device_id": event.device_id,
        "event_n": event.n,
    }


def part_of(row: RowMapping) -> Part:
    """The part of a row."""
    body = parse(row["body"].encode(), where=row["part_id"])
    return Part(row["part_id"], cast(PartKind, row["kind"]), row["sort"], body)


def event_row(event: Event, spelled: bytes, *, job_id: str | None) -> dict[str, Any]:
    """The row of an event; its body is the very text that was hashed."""
    return {
        "device_id": event.device_id,
        "n": event.n,
        "prev": event.prev,
        "digest": event.digest,
        "head": event.head,
        "job_id": job_id,
        "kind": event.act.kind,
        "person_id": event.act.person_id,
        "at_utc": event.act.at_utc,
        "body": spelled.decode(),
    }


def event_of(row: RowMapping) -> Event:
    """The event of a row, as its hashed text tells it."""
    return event_from_bytes(row["body"].encode(), digest=row["digest"], head=row["head"])


def finding_row(finding: Finding, *, job_id: str, core_id: str, sort: int) -> dict[str, Any]:
    """The row of a finding."""
    return {
        "job_id": job_id,
        "core_id": core_id,
        "sort": sort,
        "procedure_id": finding.procedure,
        "row": finding.row,
        "quantity_id": finding.quantity,
        "rule": finding.rule,
        "verdict": finding.verdict,
        "body": canonical(plain.flatten(finding)).decode(),
    }


def finding_of(spelled: str) -> Finding:
    """The finding of a row's body.

    Format: the canonical form writes 1.0 as 1, so numbers come back as float where the finding holds a float.
    """
    body = parse(spelled.encode(), where="finding")
    values: dict[str, Any] = {name: _as_float(name, value) for name, value in body.items()}
    return Finding(**values)


def attachment_of(row: RowMapping) -> Attachment:
    """The attachment of a row."""
    return Attachment(**{entry.name: row[entry.name] for entry in dataclasses.fields(Attachment)})


def demand_text(where: str, text: str | None) -> None:
    """Refuse text that a store cannot give back: a NUL character, or half of a surrogate pair."""
    if text is None:
        return
    if "\0" in text:
        raise BadInput(where, text, "holds a NUL character, which no store can keep")
    try:
        text.encode()
    except UnicodeEncodeError as problem:
        raise BadInput(where, ascii(text), "holds half a character, which no store can keep") from problem


def _as_float(name: str, value: object) -> object:
    return float(value) if isinstance(value, int) and name != "take" else value
