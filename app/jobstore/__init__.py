"""The job store: the only SQL. SQLAlchemy tables and Alembic migrations on SQLite."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any, Final

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

if TYPE_CHECKING:
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

# What brings SQLAlchemy along is loaded when it is first asked for: the list of jobs is shown before.
_LATE: Final = {"Store": "app.jobstore.store"}


def __getattr__(name: str) -> Any:
    if name not in _LATE:
        raise AttributeError(f"module {__name__} has no attribute {name}")
    return getattr(importlib.import_module(_LATE[name]), name)
