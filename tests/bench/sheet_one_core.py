"""The sheet of one core, beside a bare reportlab page with a vector log-log plot.

Both are made in process and warm, in turns, so that what else the machine is doing falls on both. The core is
the first of the line bay of the samples: four tests, two ratios, an excitation curve with its knees.
"""

from __future__ import annotations

import dataclasses
import json
import math
import statistics
import time
from io import BytesIO
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from app.report.fonts import BODY, face
from app.report.sheet import SheetInput, render
from ctcore.job import Job, from_plain, places
from ctcore.judge import judge
from ctcore.procedure import Derived, Scene
from ctcore.procedures import PROCEDURES
from ctcore.takes import takes_of
from samples import SAMPLES

NAMES = ("sheet_one_core",)

_WARM_UP = 3


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median milliseconds of both and their ratio."""
    runs = 10 if short else 40
    given = given_for(one_core())
    points = points_of(given.job)
    ours, bare = [], []
    for number in range(-_WARM_UP, runs):
        started = time.perf_counter()
        bare_page(points)
        between = time.perf_counter()
        render(given)
        if number >= 0:
            bare.append((between - started) * 1e3)
            ours.append((time.perf_counter() - between) * 1e3)
    value, reference = statistics.median(ours), statistics.median(bare)
    return [
        {
            "name": "sheet_one_core",
            "value": value,
            "unit": "ms",
            "reference": reference,
            "ratio": value / reference,
            "runs": runs,
        }
    ]


def one_core() -> Job:
    """The line bay with nothing but the first core of its first transformer."""
    sample = next(entry for entry in SAMPLES if entry.name == "line_bay")
    job = from_plain(json.loads(sample.file.read_text("utf-8")))
    place = places(job)[0]
    ct = dataclasses.replace(place.ct, cores=(place.core,))
    here = place.core.core_id
    return dataclasses.replace(
        job,
        positions=(dataclasses.replace(place.position, cts=(ct,)),),
        readings=tuple(entry for entry in job.readings if entry.core_id == here),
        acknowledgements=tuple(entry for entry in job.acknowledgements if entry.core_id == here),
        deviations=(),
    )


def given_for(job: Job) -> SheetInput:
    """The sheet of a frozen revision of the job."""
    takes = takes_of(job.readings)
    derived: dict[tuple[str, str, int], list[Derived]] = {
        (place.core.core_id, procedure.procedure_id, take.take): procedure.derive(
            Scene(job, place.position, place.ct, place.core, takes), take
        )
        for place in places(job)
        for procedure in PROCEDURES
        for take in takes.get((place.core.core_id, procedure.procedure_id), ())
    }
    return SheetInput(
        job=job,
        findings=judge(job),
        derived=derived,
        revision=1,
        state_words="handed in",
        digest_hex="0" * 64,
        declaration=None,
        issued_at_utc="2026-10-13T09:31:00Z",
        program_version="bench",
    )


def points_of(job: Job) -> list[tuple[float, float]]:
    """The points of a curve of the job."""
    volts = {entry.row: entry.value_text for entry in job.readings if entry.quantity_id == "v_excitation_v"}
    amps = {
        entry.row: entry.value_text
        for entry in job.readings
        if entry.quantity_id == "i_excitation_a" and entry.procedure_id == "excitation"
    }
    return [(float(amps[row] or 1), float(value or 1)) for row, value in volts.items() if row in amps]


def bare_page(points: list[tuple[float, float]]) -> bytes:
    """One page, one line of text, axes with a grid, and the curve: the least that a sheet could be."""
    face(BODY)
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1, initialFontName=BODY)
    canvas.setFont(BODY, 10)
    canvas.drawString(60, 780, "Excitation")
    path = canvas.beginPath()
    for number, (amps, volts) in enumerate(points):
        x, y = 300 + 150 * math.log10(amps * 10), 200 + 150 * math.log10(volts / 10)
        (path.lineTo if number else path.moveTo)(x, y)
    canvas.drawPath(path)
    for step in range(30):
        canvas.line(60, 200 + 10 * step, 500, 200 + 10 * step)
        canvas.line(60 + 14 * step, 200, 60 + 14 * step, 500)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()
