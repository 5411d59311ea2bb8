"""The first form of the store.

The tables are written out once more on purpose: `tables.py` goes on changing, this step never does.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def _text(name: str, *, null: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text, nullable=null)


def _count(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer, nullable=False)


def _flag(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer, sa.CheckConstraint(f"{name} IN (0, 1)"), nullable=False)


def _job_id() -> sa.Column[str]:
    return sa.Column("job_id", sa.Text, sa.ForeignKey("job.job_id"), nullable=False)


def _brought_by() -> tuple[sa.schema.SchemaItem, ...]:
    link = ("event_device_id", "event_n")
    return (
        _text(link[0]),
        _count(link[1]),
        sa.ForeignKeyConstraint(link, ("event.device_id", "event.n")),
    )


def upgrade() -> None:
    """Make every table, index and trigger."""
    _make_jobs()
    _make_readings()
    _make_findings()
    _make_frozen()
    for table in ("event", "reading", "revision"):
        for verb in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{table} rows are only ever added'); END"
            )


def _make_jobs() -> None:
    op.create_table(
        "meta", _text("name"), _text("value"), sa.PrimaryKeyConstraint("name"), sqlite_strict=True
    )
    op.create_table(
        "job",
        *(_text(name) for name in ("job_id", "number_text", "title_text", "site_text", "state")),
        _count("core_count"),
        _text("created_at_utc"),
        _text("changed_at_utc"),
        sa.PrimaryKeyConstraint("job_id"),
        sqlite_strict=True,
    )
    op.create_table(
        "event",
        _text("device_id"),
        sa.Column("n", sa.Integer, sa.CheckConstraint("n > 0"), nullable=False),
        _text("prev"),
        _text("digest"),
        _text("head"),
        _text("job_id", null=True),
        *(_text(name) for name in ("kind", "person_id", "at_utc", "body")),
        sa.PrimaryKeyConstraint("device_id", "n"),
        sa.UniqueConstraint("device_id", "prev"),
        sqlite_strict=True,
    )
    op.create_index("event_by_job", "event", ["job_id"])
    op.create_table(
        "part",
        _job_id(),
        _text("part_id"),
        _text("kind"),
        _count("sort"),
        _text("body"),
        *_brought_by(),
        sa.PrimaryKeyConstraint("job_id", "part_id"),
        sqlite_strict=True,
    )


def _make_readings() -> None:
    op.create_table(
        "reading",
        sa.Column("reading_no", sa.Integer, nullable=False),
        _text("reading_id"),
        _job_id(),
        _text("core_id"),
        _text("procedure_id"),
        _count("take"),
        *(_text(name) for name in ("row", "quantity_id", "as_typed_text")),
        _text("value_text", null=True),
        _text("person_id"),
        _text("at_utc"),
        _count("utc_offset_minutes"),
        _text("device_id"),
        sa.Column("device_seq", sa.Integer, sa.CheckConstraint("device_seq > 0"), nullable=False),
        _flag("over_range"),
        _flag("under_range"),
        _text("instrument_id", null=True),
        _text("supersedes_id", null=True),
        _text("reason_text"),
        _flag("struck"),
        _flag("withdrawn"),
        *_brought_by(),
        sa.PrimaryKeyConstraint("reading_no"),
        sa.UniqueConstraint("reading_id"),
        sa.UniqueConstraint("device_id", "device_seq"),
        sqlite_strict=True,
    )
    op.create_index("reading_by_job", "reading", ["job_id"])


def _make_findings() -> None:
    op.create_table(
        "judgement",
        _job_id(),
        *(_text(name) for name in ("core_id", "worst", "input_digest", "rules_version")),
        sa.PrimaryKeyConstraint("job_id", "core_id"),
        sqlite_strict=True,
    )
    op.create_table(
        "finding",
        _text("job_id"),
        _text("core_id"),
        _count("sort"),
        *(_text(name) for name in ("procedure_id", "row", "quantity_id", "rule", "verdict", "body")),
        sa.PrimaryKeyConstraint("job_id", "core_id", "sort"),
        sa.ForeignKeyConstraint(
            ("job_id", "core_id"), ("judgement.job_id", "judgement.core_id"), ondelete="CASCADE"
        ),
        sqlite_strict=True,
    )


def _make_frozen() -> None:
    op.create_table(
        "revision",
        _job_id(),
        sa.Column("revision", sa.Integer, sa.CheckConstraint("revision > 0"), nullable=False),
        _text("digest"),
        sa.Column("record", sa.LargeBinary, nullable=False),
        _text("frozen_at_utc"),
        *_brought_by(),
        sa.PrimaryKeyConstraint("job_id", "revision"),
        sqlite_strict=True,
    )
    op.create_table(
        "attachment",
        _text("attachment_id"),
        _job_id(),
        *(_text(name) for name in ("digest", "name_text", "media_type")),
        _count("size_bytes_count"),
        _text("core_id"),
        _text("procedure_id"),
        *_brought_by(),
        sa.PrimaryKeyConstraint("attachment_id"),
        sqlite_strict=True,
    )
    op.create_index("attachment_by_job", "attachment", ["job_id"])
