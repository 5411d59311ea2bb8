"""The job store: the only SQL. SQLAlchemy tables and Alembic migrations on SQLite."""

from app.jobstore.answers import (
    Attachment,
    Damaged,
    DiskFull,
    JobLine,
    Missing,
    Receipt,
    StoredFindings,
    StoredRevision,
    StoreProblem,
)
from app.jobstore.parts import Part, PartKind, changes, job_from_parts, part_id_of, parts_of
from app.jobstore.store import Store

__all__ = [
    "Attachment",
    "Damaged",
    "DiskFull",
    "JobLine",
    "Missing",
    "Part",
    "PartKind",
    "Receipt",
    "Store",
    "StoreProblem",
    "StoredFindings",
    "StoredRevision",
    "changes",
    "job_from_parts",
    "part_id_of",
    "parts_of",
]
