"""The list of jobs for the first picture, read while the libraries of the store are still being loaded.

The store is opened, checked and asked once more after it; what is shown here only stands until then.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from contextlib import closing
from pathlib import Path
from typing import Final
from urllib.parse import quote

from app.jobstore.answers import JobLine
from app.jobstore.form import APPLICATION_ID, HEAD_REVISION
from ctcore.findings import Verdict, worst

_COLUMNS: Final = (
    "job_id", "number_text", "title_text", "site_text", "state", "core_count", "changed_at_utc"
)  # fmt: skip
_JOBS: Final = f"SELECT {', '.join(_COLUMNS)} FROM job ORDER BY changed_at_utc DESC, job_id"


def lines(path: Path) -> list[JobLine]:
    """A line per job, the one changed last first; none where it is no store of just this form, or cannot be
    read at once. Nothing is written, made or locked."""
    try:
        with closing(sqlite3.connect(f"file:{quote(str(path.absolute()))}?mode=ro", uri=True)) as raw:
            form = raw.execute("SELECT version_num FROM alembic_version").fetchone()
            its = raw.execute("PRAGMA application_id").fetchone()
            if (form, its) != ((HEAD_REVISION,), (APPLICATION_ID,)):
                return []
            return _read(raw)
    # Assumption: whatever is wrong with a file is said when it is opened, in words that fit.
    except (sqlite3.Error, UnicodeDecodeError):
        return []


def _read(raw: sqlite3.Connection) -> list[JobLine]:
    verdicts: dict[str, list[Verdict]] = defaultdict(list)
    for job_id, verdict in raw.execute("SELECT DISTINCT job_id, worst FROM judgement"):
        verdicts[job_id].append(verdict)
    return [
        JobLine(**dict(zip(_COLUMNS, row, strict=True)), worst=worst(verdicts[row[0]]))
        for row in raw.execute(_JOBS)
    ]
