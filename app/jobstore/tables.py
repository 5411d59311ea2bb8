"""The tables of the store as they are now; `migrations` holds the steps that lead here."""

from __future__ import annotations

from typing import Any, Final

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

metadata: Final = MetaData()


def _text(name: str, *, null: bool = False, key: bool = False) -> Column[str]:
    return Column(name, Text, nullable=null, primary_key=key)


def _count(name: str) -> Column[int]:
    return Column(name, Integer, nullable=False)


def _flag(name: str) -> Column[int]:
    return Column(name, Integer, CheckConstraint(f"{name} IN (0, 1)"), nullable=False)


def _job_id(*, key: bool = False) -> Column[str]:
    return Column("job_id", Text, ForeignKey("job.job_id"), nullable=False, primary_key=key)


def _brought_by() -> tuple[Any, ...]:
    """The event in whose transaction a row came."""
    link = ("event_device_id", "event_n")
    return (_text(link[0]), _count(link[1]), ForeignKeyConstraint(link, ("event.device_id", "event.n")))


meta: Final = Table("meta", metadata, _text("name", key=True), _text("value"), sqlite_strict=True)

job: Final = Table(
    "job",
    metadata,
    _text("job_id", key=True),
    _text("number_text"),
    _text("title_text"),
    _text("site_text"),
    _text("state"),
    _count("core_count"),
    _text("created_at_utc"),
    _text("changed_at_utc"),
    sqlite_strict=True,
)

event: Final = Table(
    "event",
    metadata,
    _text("device_id", key=True),
    Column("n", Integer, CheckConstraint("n > 0"), primary_key=True, autoincrement=False),
    _text("prev"),
    _text("digest"),
    _text("head"),
    _text("job_id", null=True),
    _text("kind"),
    _text("person_id"),
    _text("at_utc"),
    _text("body"),
    UniqueConstraint("device_id", "prev"),
    Index("event_by_job", "job_id"),
    sqlite_strict=True,
)

part: Final = Table(
    "part",
    metadata,
    _job_id(key=True),
    _text("part_id", key=True),
    _text("kind"),
    _count("sort"),
    _text("body"),
    *_brought_by(),
    sqlite_strict=True,
)

reading: Final = Table(
    "reading",
    metadata,
    Column("reading_no", Integer, primary_key=True),
    Column("reading_id", Text, nullable=False, unique=True),
    _job_id(),
    _text("core_id"),
    _text("procedure_id"),
    _count("take"),
    _text("row"),
    _text("quantity_id"),
    _text("as_typed_text"),
    _text("value_text", null=True),
    _text("person_id"),
    _text("at_utc"),
    _count("utc_offset_minutes"),
    _text("device_id"),
    Column("device_seq", Integer, CheckConstraint("device_seq > 0"), nullable=False),
    _flag("over_range"),
    _flag("under_range"),
    _text("instrument_id", null=True),
    _text("supersedes_id", null=True),
    _text("reason_text"),
    _flag("struck"),
    _flag("withdrawn"),
    *_brought_by(),
    UniqueConstraint("device_id", "device_seq"),
    Index("reading_by_job", "job_id"),
    sqlite_strict=True,
)

judgement: Final = Table(
    "judgement",
    metadata,
    _job_id(key=True),
    _text("core_id", key=True),
    _text("worst"),
    _text("input_digest"),
    _text("rules_version"),
    sqlite_strict=True,
)

finding: Final = Table(
    "finding",
    metadata,
    _text("job_id", key=True),
    _text("core_id", key=True),
    Column("sort", Integer, primary_key=True, autoincrement=False),
    _text("procedure_id"),
    _text("row"),
    _text("quantity_id"),
    _text("rule"),
    _text("verdict"),
    _text("body"),
    ForeignKeyConstraint(
        ("job_id", "core_id"), ("judgement.job_id", "judgement.core_id"), ondelete="CASCADE"
    ),
    sqlite_strict=True,
)

revision: Final = Table(
    "revision",
    metadata,
    _job_id(key=True),
    Column("revision", Integer, CheckConstraint("revision > 0"), primary_key=True, autoincrement=False),
    _text("digest"),
    Column("record", LargeBinary, nullable=False),
    _text("frozen_at_utc"),
    *_brought_by(),
    sqlite_strict=True,
)

attachment: Final = Table(
    "attachment",
    metadata,
    _text("attachment_id", key=True),
    _job_id(),
    _text("digest"),
    _text("name_text"),
    _text("media_type"),
    _count("size_bytes_count"),
    _text("core_id"),
    _text("procedure_id"),
    *_brought_by(),
    Index("attachment_by_job", "job_id"),
    sqlite_strict=True,
)

APPEND_ONLY: Final = ("event", "reading", "revision")
