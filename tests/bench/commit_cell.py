"""Saving one reading with its event, beside a bare sqlite3 commit of one row with the same settings.

The two take turns in one run, so that what else the disk is doing falls on both.
"""

from __future__ import annotations

import statistics
import tempfile
import time
import uuid
from pathlib import Path
from typing import Any

from app.jobstore import Store
from app.jobstore.engine import connected
from app.record.act import Act
from ctcore.job import CT, Core, Header, Job, Position, Reading, Tap

NAMES = ("commit_cell",)

_AT_UTC = "2031-05-04T08:42:07.120Z"
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
    store.create(_job(), _act("job made", None))
    ours, bare = [], []
    try:
        for number in range(-_WARM_UP, runs):
            started = time.perf_counter()
            raw.execute("BEGIN IMMEDIATE")
            raw.execute("INSERT INTO row(body) VALUES (?)", (f"row {number}",))
            raw.execute("COMMIT")
            between = time.perf_counter()
            text = f"{265.2 + number:.1f}"
            store.append("j1", _act("reading", text), readings=[_reading(text)])
            if number >= 0:
                bare.append((between - started) * 1e3)
                ours.append((time.perf_counter() - between) * 1e3)
    finally:
        raw.close()
        store.close()
    return ours, bare


def _job() -> Job:
    tap = Tap(tap_id="t1", terminals_text="S1-S2", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)
    core = Core(core_id="c1", number=1, class_text="5P20", taps=(tap,))
    position = Position(
        position_id="b1", name_text="Bay 1", cts=(CT(ct_id="ct1", phase_text="L1", cores=(core,)),)
    )
    return Job(job_id="j1", header=Header(number_text="1042"), positions=(position,))


def _act(kind: str, to: str | None) -> Act:
    where = {"core_id": "c1", "procedure_id": "excitation", "take": 1, "row": "7", "quantity_id": "v"}
    return Act(kind, "p1", "A. Tester", _AT_UTC, 120, "Etc/UTC", where, None, to)


def _reading(text: str) -> Reading:
    return Reading(
        reading_id=str(uuid.uuid4()),
        core_id="c1",
        procedure_id="excitation",
        take=1,
        row="7",
        quantity_id="v_excitation_v",
        as_typed_text=text,
        value_text=text,
        person_id="p1",
        at_utc=_AT_UTC,
        utc_offset_minutes=120,
        device_id="",
        device_seq=0,
    )
