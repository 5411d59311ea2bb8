"""A workbook read by a child process with little memory and little time, after its sizes were looked at.

Practice: a workbook of a few kilobytes can unpack to gigabytes; what its directory says is summed first, and
the child that unpacks it cannot take the program with it.
"""

from __future__ import annotations

import io
import json
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any, Final

from app.exchange.problem import JobFileProblem
from app.exchange.tables import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Table, of_cells

MOST_UNPACKED_BYTES: Final = 64_000_000
MOST_MEMBERS: Final = 500
MEMORY_BYTES: Final = 768_000_000
SECONDS: Final = 20.0


def read(path: Path, data: bytes, *, decimal_comma: bool | None = None) -> Table:
    """The first sheet that shows; raises JobFileProblem for what is no workbook or too large a one."""
    _look_at_sizes(path.name, data)
    found = _ask_child(path)
    if "refusal" in found:
        raise JobFileProblem(path.name, "", None, str(found["refusal"]))
    mark = "," if decimal_comma else "."
    cells = [[_as_text(cell, mark) for cell in line] for line in found["rows"]]
    table = of_cells(cells, tuple(found["notes"]))
    if table.refusal_text:
        raise JobFileProblem(path.name, "", None, table.refusal_text.rstrip("."))
    return table


def _look_at_sizes(name: str, data: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            members = packed.infolist()
    except zipfile.BadZipFile:
        raise JobFileProblem(name, "", None, "is damaged: it cannot be unpacked") from None
    if not any(member.filename == "xl/workbook.xml" for member in members):
        raise JobFileProblem(name, "", None, "is packed, but it is no workbook")
    unpacked = sum(member.file_size for member in members)
    if len(members) > MOST_MEMBERS or unpacked > MOST_UNPACKED_BYTES:
        size = f"{unpacked / 1e6:.0f} MB in {len(members)} parts"
        reason = f"unpacks to {size}; at most {MOST_UNPACKED_BYTES / 1e6:.0f} MB in {MOST_MEMBERS} are taken"
        raise JobFileProblem(name, "", None, reason)


def _ask_child(path: Path) -> dict[str, Any]:
    limits = json.dumps(
        {"memory": MEMORY_BYTES, "rows": MOST_ROWS, "columns": MOST_COLUMNS, "cells": MOST_CELLS,
         "unpacked": MOST_UNPACKED_BYTES}
    )  # fmt: skip
    command = [sys.executable, "-m", "app.exchange.workbook_child", str(path.resolve()), limits]
    try:
        done = subprocess.run(command, capture_output=True, timeout=SECONDS, check=False, cwd=_home())
    except subprocess.TimeoutExpired:
        reason = f"takes longer than {SECONDS:.0f} s to read; save the sheet alone as CSV and take that"
        raise JobFileProblem(path.name, "", None, reason) from None
    try:
        found = json.loads(done.stdout)
    except ValueError:
        reason = "cannot be read within the memory it is given; save the sheet alone as CSV and take that"
        raise JobFileProblem(path.name, "", None, reason) from None
    assert isinstance(found, dict)
    return found


def _home() -> Path:
    """Where the child finds the program."""
    return Path(__file__).resolve().parents[2]


def _as_text(cell: object, mark: str) -> str:
    """A number as it is kept, with that decimal mark; a text as it stands."""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float | int):
        text = format(cell, ".15g") if isinstance(cell, float) else str(cell)
        return text.replace(".", mark)
    return "" if cell is None else str(cell)
