"""A fault of the program: a report file, and one sentence that says what is safe."""

from __future__ import annotations

import contextlib
import platform
import sys
import traceback
from datetime import datetime
from pathlib import Path

from app.ui.texts import text


def write_report(folder: Path, problem: BaseException) -> Path | None:
    """Write what happened into a file of its own; None where even that is not possible."""
    now = datetime.now().astimezone()
    lines = "".join(traceback.format_exception(problem))
    head = f"Coreleaf, {platform.platform()}, Python {platform.python_version()}, {now.isoformat()}\n\n"
    path = folder / "reports" / f"fault-{now:%Y%m%d-%H%M%S-%f}.txt"
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(head + lines, encoding="utf-8")
        return path
    return None


def sentence(folder: Path, problem: BaseException) -> str:
    """What the user is told; the report is written first."""
    path = write_report(folder, problem)
    sys.stderr.write("".join(traceback.format_exception(problem)))
    if path is None:
        return text("crash.unreported", what=type(problem).__name__)
    return text("crash.reported", what=type(problem).__name__, path=path)
