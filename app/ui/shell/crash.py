"""A fault of the program: a report file, and one sentence that says what is safe."""

from __future__ import annotations

import sys
from pathlib import Path

from app import reports
from app.ui.texts import text


def sentence(folder: Path, problem: BaseException, *, page_id: str = "") -> str:
    """What the user is told; the report is written first."""
    path = reports.write(folder, problem, page_id=page_id)
    sys.stderr.write("\n".join(reports.calls_of(problem)) + "\n")
    if path is None:
        return text("crash.unreported", what=type(problem).__name__)
    return text("crash.reported", what=type(problem).__name__, path=path)
