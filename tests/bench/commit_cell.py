"""Saving one reading with its event, beside a bare sqlite3 commit of one row with the same settings.

The two take turns in one run, so that what else the disk is doing falls on both.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path
from typing import Any

from app.jobstore import Store
from app.jobstore.engine import connected
from tests.one_core import act, one_core, reading

NAMES = ("commit_cell",)

_WARM_UP = 20


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median milliseconds of both and their ratio."""
    runs = 200 if short else 1000
    with tempfile.TemporaryDirectory() as folder:
        ours, bare = _measured(Path(folder), runs)
    value, reference = statistics.median(ours), statistics.median(bare)
    return [
        {
            "name": "commit_cell",
            "value": value,
            "unit": "ms",
            "reference": reference,
            "ratio": value / reference,
            "runs": runs,
        }
    ]


def _measured(folder: Path, runs: int) -> tuple[list[float], list[float]]:
    raw = connected(folder / "bare.db", read_only=False)
    raw.execute("CREATE TABLE row(n INTEGER PRIMARY KEY, body TEXT NOT NULL) STRICT")
    store = Store.open(folder / "store.coreleaf")
    store.create(one_core(), act("job made"))
    ours, bare = [], []
    try:
        for number in range(-_WARM_UP, runs):
            started = time.perf_counter()
            raw.execute("BEGIN IMMEDIATE")
            raw.execute("INSERT INTO row(body) VALUES (?)", (f"row {number}",))
            raw.execute("COMMIT")
            between = time.perf_counter()
            text = f"{265.2 + number:.1f}"
            store.append("j1", act("reading", text), readings=[reading(text)])
            if number >= 0:
                bare.append((between - started) * 1e3)
                ours.append((time.perf_counter() - between) * 1e3)
    finally:
        raw.close()
        store.close()
    return ours, bare
