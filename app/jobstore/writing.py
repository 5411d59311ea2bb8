"""What happens inside one writing transaction: the event, and everything that it brings."""

from __future__ import annotations

import dataclasses
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Connection, bindparam, delete, desc, func, insert, select, update
from sqlalchemy.dialects.sqlite import insert as insert_or_replace

from app.jobstore import tables
from app.jobstore.answers import Attachment, Receipt, StoreProblem
from app.jobstore.parts import Part
from app.jobstore.rows import READING_FIELDS, event_row, finding_row, part_row, reading_row
from app.record.act import Act, Event
from app.record.canonical import canonical, canonical_unfractioned, digest, parse
from app.record.chain import FIRST_PREV, spelled_event
from ctcore import plain
from ctcore.findings import Finding, worst
from ctcore.job import JobState, Reading

_HEAD: Final = (
    select(tables.event.c.n, tables.event.c.head)
    .where(tables.event.c.device_id == bindparam("device_id"))
    .order_by(desc(tables.event.c.n))
    .limit(1)
)
_LAST_SEQ: Final = select(func.max(tables.reading.c.device_seq)).where(
    tables.reading.c.device_id == bindparam("device_id")
)
_ADD_EVENT: Final = insert(tables.event)
_ADD_READING: Final = insert(tables.reading)
_ADD_ATTACHMENT: Final = insert(tables.attachment)
_ADD_REVISION: Final = insert(tables.revision)
_ADD_JOB: Final = insert(tables.job)
_ADD_JUDGEMENT: Final = insert(tables.judgement)
_ADD_FINDING: Final = insert(tables.finding)
_DROP_JUDGEMENT: Final = delete(tables.judgement).where(
    tables.judgement.c.job_id == bindparam("the_job"), tables.judgement.c.core_id == bindparam("the_core")
)
_DEVICE: Final = select(tables.meta.c.value).where(tables.meta.c.name == "device_id")
_put_meta = insert_or_replace(tables.meta)
_PUT_META: Final = _put_meta.on_conflict_do_update(
    index_elements=["name"], set_={"value": _put_meta.excluded.value}
)
_put_part = insert_or_replace(tables.part)
_PUT_PART: Final = _put_part.on_conflict_do_update(
    index_elements=["job_id", "part_id"],
    set_={name: _put_part.excluded[name] for name in ("kind", "sort", "body", "event_device_id", "event_n")},
)
_DROP_PART: Final = delete(tables.part).where(
    tables.part.c.job_id == bindparam("the_job"), tables.part.c.part_id == bindparam("the_part")
)
_CT_BODIES: Final = select(tables.part.c.body).where(
    tables.part.c.job_id == bindparam("job_id"), tables.part.c.kind == "ct"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """Everything that one transaction brings into a job."""

    readings: Sequence[Reading] = ()
    parts: Sequence[Part] = ()
    removed_parts: Sequence[str] = ()
    state: JobState | None = None
    record: tuple[int, bytes] | None = None
    attachment: Attachment | None = None
    new_job: bool = False


def enter(connection: Connection, *, device_id: str, job_id: str, act: Act, entry: Entry) -> Receipt:
    """Write the entry and its event; the head of the chain is read in here, so no fork can come about."""
    readings = _numbered(connection, device_id, entry.readings)
    content = content_of(entry, readings)
    event, spelled = _next(connection, device_id, act=_about(act, job_id), content=content)
    if entry.new_job:
        connection.execute(_ADD_JOB, _bare_job(job_id, act))
    connection.execute(_ADD_EVENT, event_row(event, spelled, job_id=job_id))
    if readings:
        connection.execute(
            _ADD_READING, [reading_row(reading, job_id=job_id, event=event) for reading in readings]
        )
    if entry.removed_parts:
        gone = [{"the_job": job_id, "the_part": name} for name in entry.removed_parts]
        connection.execute(_DROP_PART, gone)
    if entry.parts:
        connection.execute(_PUT_PART, [part_row(part, job_id=job_id, event=event) for part in entry.parts])
    if entry.record is not None:
        connection.execute(_ADD_REVISION, _revision_row(job_id, act, record=entry.record, event=event))
    if entry.attachment is not None:
        connection.execute(_ADD_ATTACHMENT, _attachment_row(job_id, entry.attachment, event))
    _note_job(connection, job_id, act=act, entry=entry)
    return Receipt(event, tuple(readings))


def content_of(entry: Entry, readings: Sequence[Reading]) -> dict[str, Any]:
    """The digests of everything that an entry brings, as the event binds them."""
    content: dict[str, Any] = {}
    if readings:
        content["readings_count"] = len(readings)
        content["readings"] = readings_digest(readings)
    if entry.parts:
        content["parts"] = {part.part_id: digest(canonical(part.body)) for part in entry.parts}
        content["part_orders"] = {part.part_id: part.order for part in entry.parts}
    if entry.removed_parts:
        content["removed_parts"] = list(entry.removed_parts)
    if entry.state is not None:
        content["state"] = entry.state
    if entry.record is not None:
        content["record"] = {"revision": entry.record[0], "digest": digest(entry.record[1])}
    if entry.attachment is not None:
        content["attachment"] = plain.flatten(entry.attachment)
    return content


def readings_digest(readings: Sequence[Reading]) -> str:
    """One digest over readings in the order in which they were entered."""
    spelled = [{name: getattr(reading, name) for name in READING_FIELDS} for reading in readings]
    return digest(canonical_unfractioned(spelled))


def put_findings(
    connection: Connection,
    job_id: str,
    *,
    judged: Sequence[tuple[str, Sequence[Finding], str]],
    rules_version: str,
) -> None:
    """Put the findings of cores in place of those stored before: core, findings, digest of their input."""
    for core_id, findings, input_digest in judged:
        about = {"job_id": job_id, "core_id": core_id}
        connection.execute(_DROP_JUDGEMENT, {"the_job": job_id, "the_core": core_id})
        connection.execute(
            _ADD_JUDGEMENT,
            {
                **about,
                "worst": worst(finding.verdict for finding in findings),
                "input_digest": input_digest,
                "rules_version": rules_version,
            },
        )
        if findings:
            rows = [finding_row(entry, **about, sort=index) for index, entry in enumerate(findings)]
            connection.execute(_ADD_FINDING, rows)


def settle_device(connection: Connection, device_id: str | None) -> str:
    """The id of this device: the one given, else the one the store was made with, else a new one."""
    known = connection.execute(_DEVICE).scalar_one_or_none()
    wanted = device_id or known or str(uuid.uuid4())
    if wanted != known:
        connection.execute(_PUT_META, {"name": "device_id", "value": wanted})
    return wanted


def _numbered(connection: Connection, device_id: str, readings: Sequence[Reading]) -> list[Reading]:
    """The readings with device and sequence; those of another device keep theirs."""
    if all(reading.device_id and reading.device_seq > 0 for reading in readings):
        return list(readings)
    last = connection.execute(_LAST_SEQ, {"device_id": device_id}).scalar_one() or 0
    # Own numbers that came along with the readings are not given out a second time.
    last = max([last, *(entry.device_seq for entry in readings if entry.device_id == device_id)])
    numbered = []
    for reading in readings:
        if not reading.device_id or reading.device_seq <= 0:
            last += 1
            reading = dataclasses.replace(reading, device_id=device_id, device_seq=last)
        numbered.append(reading)
    return numbered


def _next(
    connection: Connection, device_id: str, *, act: Act, content: dict[str, Any]
) -> tuple[Event, bytes]:
    row = connection.execute(_HEAD, {"device_id": device_id}).one_or_none()
    n, head = (0, FIRST_PREV) if row is None else (row.n, row.head)
    return spelled_event(head, n + 1, device_id, act, content)


def _about(act: Act, job_id: str) -> Act:
    return dataclasses.replace(act, where={**act.where, "job_id": job_id})


def _note_job(connection: Connection, job_id: str, *, act: Act, entry: Entry) -> None:
    """Keep the line of the job list up to date."""
    values: dict[str, Any] = {"changed_at_utc": act.at_utc}
    header = next((part for part in entry.parts if part.kind == "header"), None)
    if header is not None:
        values["state"] = header.body["state"]
        for name in ("number_text", "title_text", "site_text"):
            values[name] = header.body["header"][name]
    if entry.state is not None:
        values["state"] = entry.state
    if any(part.kind == "ct" for part in entry.parts) or any(
        name.startswith("ct:") for name in entry.removed_parts
    ):
        values["core_count"] = _core_count(connection, job_id)
    changed = connection.execute(update(tables.job).where(tables.job.c.job_id == job_id).values(values))
    if changed.rowcount != 1:
        raise StoreProblem("Your readings are saved. Nothing was changed: the store holds no such job.")


def _core_count(connection: Connection, job_id: str) -> int:
    bodies = connection.execute(_CT_BODIES, {"job_id": job_id}).scalars()
    return sum(len(parse(body.encode(), where="ct")["cores"]) for body in bodies)


def _bare_job(job_id: str, act: Act) -> dict[str, Any]:
    return {
        "job_id": job_id,
        "number_text": "",
        "title_text": "",
        "site_text": "",
        "state": "planned",
        "core_count": 0,
        "created_at_utc": act.at_utc,
        "changed_at_utc": act.at_utc,
    }


def _revision_row(job_id: str, act: Act, *, record: tuple[int, bytes], event: Event) -> dict[str, Any]:
    return {
        "job_id": job_id,
        "revision": record[0],
        "digest": digest(record[1]),
        "record": record[1],
        "frozen_at_utc": act.at_utc,
        "event_device_id": event.device_id,
        "event_n": event.n,
    }


def _attachment_row(job_id: str, attachment: Attachment, event: Event) -> dict[str, Any]:
    return {
        "job_id": job_id,
        **plain.flatten(attachment),
        "event_device_id": event.device_id,
        "event_n": event.n,
    }
