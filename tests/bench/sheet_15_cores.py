"""The sheet of fifteen cores: ratio and resistance on five taps each, curves of thirty points.

The reference is the least that could be printed: fifteen bare pages with a line and a curve each.
"""

from __future__ import annotations

import dataclasses
import statistics
import time
from typing import Any

from app.record.canonical import digest
from app.report.sheet import render
from ctcore.job import Job
from tests.bench.judge_job_90 import job_of_90
from tests.bench.sheet_one_core import bare_page, given_for, points_of

NAMES = ("sheet_15_cores",)

_CORES = 15


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median milliseconds of the sheet; every run prints a record of its own digest."""
    runs = 3 if short else 9
    job = job_of_15()
    given, points = given_for(job), points_of(job)
    ours, bare = [], []
    for number in range(-1, runs):
        told = dataclasses.replace(given, digest_hex=digest(str(number).encode()))
        started = time.perf_counter()
        for _ in range(_CORES):
            bare_page(points)
        between = time.perf_counter()
        render(told)
        if number >= 0:
            bare.append((between - started) * 1e3)
            ours.append((time.perf_counter() - between) * 1e3)
    value, reference = statistics.median(ours), statistics.median(bare)
    return [
        {
            "name": NAMES[0],
            "value": value,
            "unit": "ms",
            "reference": reference,
            "ratio": value / reference,
            "runs": runs,
        }
    ]


def job_of_15() -> Job:
    """The first position of the job of ninety cores, with five cores of each phase."""
    job = job_of_90(15)
    first = job.positions[0]
    cts = tuple(dataclasses.replace(ct, cores=ct.cores[:5]) for ct in first.cts)
    kept = {core.core_id for ct in cts for core in ct.cores}
    assert len(kept) == _CORES
    return dataclasses.replace(
        job,
        positions=(dataclasses.replace(first, cts=cts),),
        readings=tuple(entry for entry in job.readings if entry.core_id in kept),
    )
