"""Finding, opening and comparing in an archive of a million cores, on SQLite and on PostgreSQL.

Each question is asked in several ways, for what is rare and for what is everywhere; the slowest way counts.
The short form takes 10 000 cores. The reference is the same in an archive of a tenth of the size, so that the
ratio is the growth. What the archive holds, and what it leaves out, says `archive_of.py`.
"""

from __future__ import annotations

import datetime as dt
import random
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from app.desk.archive.opened import open_record
from app.jobstore.archive import Archive, Asked
from ctcore.curve import Curve, TakenAs, compare
from tests.bench.archive_of import (
    CORES_OF_RECORD,
    EARLY_WORD,
    REMARKS,
    WHOLE_PACK_EVERY,
    digest_of,
    fill,
    rare_word,
    serial_of,
    standing_of,
)
from tests.postgresql import Server

_QUESTIONS = ("archive_serial", "archive_text", "archive_open", "archive_compare")
NAMES = tuple(f"{name}_{kind}" for name in _QUESTIONS for kind in ("sqlite", "postgresql"))
_CORES, _CORES_SHORT = 1_000_000, 10_000
_REPEATS, _REPEATS_SHORT = 100, 20
_TODAY = dt.date(2031, 6, 1)

Question = Callable[[int], object]


def run(short: bool = False) -> list[dict[str, Any]]:
    """The slowest median ms of each question on each database."""
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
    records, repeats = cores // CORES_OF_RECORD, _REPEATS_SHORT if short else _REPEATS
    fill(place, first=0, last=records // 10)
    small = medians(place, records // 10, repeats=repeats)
    fill(place, first=records // 10, last=records)
    large = medians(place, records, repeats=repeats)
    return [
        {
            "name": f"{name}_{kind}",
            "value": large[name],
            "unit": "ms",
            "reference": small[name],
            "ratio": large[name] / small[name],
            "runs": repeats,
        }
        for name in _QUESTIONS
    ]


def medians(place: str, records: int, *, repeats: int) -> dict[str, float]:
    """The median ms of the slowest way to ask each question, by its name."""
    archive = Archive.open(place, read_only=True)
    try:
        return {
            name: max(_median_ms(way, records, repeats) for way in ways)
            for name, ways in _ways(archive).items()
        }
    finally:
        archive.close()


def _ways(archive: Archive) -> dict[str, list[Question]]:
    """The ways to ask each question about a record."""

    def found(asked: Callable[[int], Asked], *, wanted: bool | None = True) -> Question:
        def ask(record: int) -> None:
            hits = archive.search(asked(record)).hits
            assert wanted in (None, bool(hits))

        return ask

    def opened(record: int) -> None:
        whole = record // WHOLE_PACK_EVERY * WHOLE_PACK_EVERY
        assert open_record(archive, digest_of(whole), today=_TODAY).rows

    def compared(record: int) -> None:
        current = next(one for one in range(record, -1, -1) if standing_of(one) == "current")
        number = current * CORES_OF_RECORD
        (mine, *_), (other, *_) = archive.curves(number), archive.sister_curves(number)
        taken = TakenAs("mean", "true_rms", 50.0, "1S1-1S2")
        curves = (Curve(one.voltage_v, one.current_a) for one in (mine, other))
        assert compare(*curves, taken, taken).deviations

    serials = [lambda record: serial_of(record, 1), lambda record: f"{serial_of(record, 1)[:-2]}*"]
    told = [
        rare_word,
        lambda record: serial_of(record, 1),
        lambda record: f"{rare_word(record)[:-2]}*",
        *(lambda _, words=words: words for words in ("commissioning", "fenmark line", "fen*")),
        lambda _: EARLY_WORD,
    ]
    return {
        "archive_serial": [
            found(lambda record, of=of: Asked(serial_text=of(record), superseded_too=True)) for of in serials
        ],
        "archive_text": [
            *(found(lambda record, of=of: Asked(words_text=of(record), superseded_too=True)) for of in told),
            # Each is there, together nowhere.
            found(lambda _: Asked(words_text="fenmark alderholm"), wanted=False),
            # In a small archive some stand nowhere.
            *(found(lambda _, word=word: Asked(words_text=word), wanted=None) for word in REMARKS),
        ],
        "archive_open": [opened],
        "archive_compare": [compared],
    }


def _median_ms(question: Question, records: int, repeats: int) -> float:
    chance, taken = random.Random(1), []
    for number in range(-3, repeats):
        record = chance.randrange(1, records)
        started = time.perf_counter()
        question(record)
        if number >= 0:
            taken.append((time.perf_counter() - started) * 1e3)
    return statistics.median(taken)
