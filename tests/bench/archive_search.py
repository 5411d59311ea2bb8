"""Finding, opening and comparing in an archive of a million cores, on SQLite and on PostgreSQL.

The short form takes 10 000 cores. The reference is the same question to an archive of a tenth of the size, so
that the ratio is the growth.
"""

from __future__ import annotations

import random
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from app.jobstore.archive import Archive, Asked
from app.record.canonical import digest
from ctcore.curve import Curve, TakenAs, compare
from tests.app.jobstore.archive.conftest import file
from tests.app.record.signed_scene import revision_of
from tests.bench.archive_of import CORES_OF_RECORD, fill, rare_word, serial_of
from tests.postgresql import Server

_QUESTIONS = ("archive_serial", "archive_text", "archive_open", "archive_compare")
NAMES = tuple(f"{name}_{kind}" for name in _QUESTIONS for kind in ("sqlite", "postgresql"))
_CORES, _CORES_SHORT = 1_000_000, 10_000
_REPEATS, _REPEATS_SHORT = 200, 40


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median ms of each question on each database; the ratio is to the archive of a tenth of the size."""
    cores = _CORES_SHORT if short else _CORES
    folder = Path(tempfile.mkdtemp(prefix="coreleaf-bench-"))
    server = Server(safe=True)
    try:
        return [
            *_measured("sqlite", str(folder / "archive.sqlite"), cores, short=short),
            *_measured("postgresql", server.database(), cores, short=short),
        ]
    finally:
        server.close()
        shutil.rmtree(folder, ignore_errors=True)


def _measured(kind: str, place: str, cores: int, *, short: bool) -> list[dict[str, Any]]:
    records = cores // CORES_OF_RECORD
    archive = Archive.open(place)
    file(archive, revision_of())
    archive.close()
    # Leaf 0 is the one that was really filed.
    fill(place, first=1, last=records // 10)
    small = _medians(place, records // 10, short=short)
    fill(place, first=records // 10, last=records)
    large = _medians(place, records, short=short)
    return [
        {
            "name": f"{name}_{kind}",
            "value": large[name],
            "unit": "ms",
            "reference": small[name],
            "ratio": large[name] / small[name],
            "runs": _REPEATS_SHORT if short else _REPEATS,
        }
        for name in _QUESTIONS
    ]


def _medians(place: str, records: int, *, short: bool) -> dict[str, float]:
    archive = Archive.open(place, read_only=True)
    chance = random.Random(1)
    signed = digest(revision_of().record)

    def serial() -> None:
        record = chance.randrange(1, records)
        assert archive.search(Asked(serial_text=serial_of(record, 1))).hits

    def words() -> None:
        asked = chance.choice((rare_word(chance.randrange(1, records)), "commissioning", "fenmark line"))
        assert archive.search(Asked(words_text=asked)).hits

    def opened() -> None:
        archive.papers(signed)

    def compared() -> None:
        number = chance.randrange(1, records) * CORES_OF_RECORD
        (mine, *_), (other, *_) = archive.curves(number), archive.sister_curves(number)
        taken = TakenAs("mean", "true_rms", 50.0, "1S1-1S2")
        curves = (Curve(one.voltage_v, one.current_a) for one in (mine, other))
        assert compare(*curves, taken, taken).deviations

    try:
        repeats = _REPEATS_SHORT if short else _REPEATS
        asked = zip(_QUESTIONS, (serial, words, opened, compared), strict=True)
        return {name: _median_ms(question, repeats) for name, question in asked}
    finally:
        archive.close()


def _median_ms(question: Callable[[], None], repeats: int) -> float:
    taken = []
    for number in range(-3, repeats):
        started = time.perf_counter()
        question()
        if number >= 0:
            taken.append((time.perf_counter() - started) * 1e3)
    return statistics.median(taken)
