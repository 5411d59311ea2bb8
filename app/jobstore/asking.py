"""Questions to the store: every SELECT that answers a caller."""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from functools import partial
from typing import Final, cast

from sqlalchemy import Connection, bindparam, desc, func, select, tuple_

from app.jobstore import tables
from app.jobstore.answers import Attachment, JobLine, StoredFindings, StoredRevision, StoreProblem
from app.jobstore.parts import job_from_parts
from app.jobstore.rows import READING_COLUMNS, attachment_of, event_of, finding_of, part_of, reading_of
from app.record.act import ChainHead, Event
from ctcore.findings import Finding, Verdict, worst
from ctcore.job import Job, JobState

_JOBS: Final = select(tables.job).order_by(desc(tables.job.c.changed_at_utc), tables.job.c.job_id)
_WORSTS: Final = select(tables.judgement.c.job_id, tables.judgement.c.worst).distinct()
_JOB: Final = select(tables.job).where(tables.job.c.job_id == bindparam("job_id"))
_PARTS: Final = select(tables.part).where(tables.part.c.job_id == bindparam("job_id"))
_READINGS: Final = (
    select(*READING_COLUMNS)
    .where(tables.reading.c.job_id == bindparam("job_id"))
    .order_by(tables.reading.c.reading_no)
)
_JUDGEMENTS: Final = select(tables.judgement).where(tables.judgement.c.job_id == bindparam("job_id"))
_FINDINGS: Final = (
    select(
        tables.finding.c.core_id,
        tables.finding.c.procedure_id,
        tables.finding.c.verdict,
        tables.finding.c.body,
    )
    .where(tables.finding.c.job_id == bindparam("job_id"))
    .order_by(tables.finding.c.core_id, tables.finding.c.sort)
)
_REVISIONS: Final = (
    select(tables.revision)
    .where(tables.revision.c.job_id == bindparam("job_id"))
    .order_by(tables.revision.c.revision)
)
_ATTACHMENTS: Final = (
    select(tables.attachment)
    .where(tables.attachment.c.job_id == bindparam("job_id"))
    .order_by(tables.attachment.c.event_device_id, tables.attachment.c.event_n)
)
_EVENTS: Final = select(tables.event).order_by(tables.event.c.device_id, tables.event.c.n)
_DEVICE: Final = select(tables.meta.c.value).where(tables.meta.c.name == "device_id")
_LAST_OF_EACH: Final = select(tables.event.c.device_id, func.max(tables.event.c.n)).group_by(
    tables.event.c.device_id
)


def jobs(connection: Connection) -> list[JobLine]:
    """A line per job, the one changed last first."""
    verdicts: dict[str, list[Verdict]] = defaultdict(list)
    for job_id, verdict in connection.execute(_WORSTS):
        verdicts[job_id].append(cast(Verdict, verdict))
    return [
        JobLine(
            job_id=row["job_id"],
            number_text=row["number_text"],
            title_text=row["title_text"],
            site_text=row["site_text"],
            state=cast(JobState, row["state"]),
            worst=worst(verdicts[row["job_id"]]),
            core_count=row["core_count"],
            changed_at_utc=row["changed_at_utc"],
        )
        for row in connection.execute(_JOBS).mappings()
    ]


def load(connection: Connection, job_id: str) -> Job:
    """The job with all its readings in the order of entry."""
    about = {"job_id": job_id}
    line = connection.execute(_JOB, about).mappings().one_or_none()
    if line is None:
        raise StoreProblem("Your readings are saved. The store holds no such job: look in the list of jobs.")
    parts = [part_of(row) for row in connection.execute(_PARTS, about).mappings()]
    readings = [reading_of(row) for row in connection.execute(_READINGS, about)]
    job = job_from_parts(parts, readings)
    return dataclasses.replace(job, state=cast(JobState, line["state"]))


def findings(connection: Connection, job_id: str) -> dict[str, StoredFindings]:
    """The stored findings by core."""
    about = {"job_id": job_id}
    bodies: dict[str, list[str]] = defaultdict(list)
    verdicts: dict[str, dict[str, Verdict]] = defaultdict(dict)
    for core_id, procedure_id, verdict, body in connection.execute(_FINDINGS, about):
        bodies[core_id].append(body)
        its = verdicts[core_id]
        its[procedure_id] = worst((its.get(procedure_id, verdict), verdict))
    return {
        row["core_id"]: StoredFindings(
            verdicts[row["core_id"]],
            row["input_digest"],
            row["rules_version"],
            partial(_read_findings, tuple(bodies[row["core_id"]])),
        )
        for row in connection.execute(_JUDGEMENTS, about).mappings()
    }


def _read_findings(bodies: tuple[str, ...]) -> tuple[Finding, ...]:
    return tuple(finding_of(body) for body in bodies)


def revisions(connection: Connection, job_id: str) -> list[StoredRevision]:
    """The frozen records of a job, oldest first."""
    return [
        StoredRevision(
            revision=row["revision"],
            digest=row["digest"],
            record_bytes=row["record"],
            frozen_at_utc=row["frozen_at_utc"],
        )
        for row in connection.execute(_REVISIONS, {"job_id": job_id}).mappings()
    ]


def attachments(connection: Connection, job_id: str) -> list[Attachment]:
    """The files attached to a job, oldest first."""
    return [attachment_of(row) for row in connection.execute(_ATTACHMENTS, {"job_id": job_id}).mappings()]


def jobs_with(connection: Connection, media_type: str) -> frozenset[str]:
    """The jobs to which a file of that kind is attached."""
    its = tables.attachment.c
    return frozenset(connection.execute(select(its.job_id).where(its.media_type == media_type)).scalars())


def events(connection: Connection, job_id: str | None) -> list[Event]:
    """The events of a job, or of every chain, by device and number."""
    wanted = _EVENTS if job_id is None else _EVENTS.where(tables.event.c.job_id == job_id)
    return [event_of(row) for row in connection.execute(wanted).mappings()]


def heads(connection: Connection) -> list[ChainHead]:
    """Where the chain of each device stands."""
    wanted = (
        select(tables.event.c.device_id, tables.event.c.n, tables.event.c.head)
        .where(tuple_(tables.event.c.device_id, tables.event.c.n).in_(_LAST_OF_EACH))
        .order_by(tables.event.c.device_id)
    )
    return [ChainHead(row.device_id, row.n, row.head) for row in connection.execute(wanted)]


def head_at(connection: Connection, device_id: str, n: int) -> str | None:
    """The head of a device's chain after its event n; None where there is no such event."""
    its = tables.event.c
    wanted = select(its.head).where(its.device_id == device_id, its.n == n)
    return connection.execute(wanted).scalar_one_or_none()


def device_id(connection: Connection) -> str | None:
    """The device that the store belongs to."""
    return connection.execute(_DEVICE).scalar_one_or_none()
