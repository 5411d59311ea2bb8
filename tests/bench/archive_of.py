"""Fills an archive with invented records, fast: for the benchmarks alone, nothing in it is signed.

Run: python -m tests.bench.archive_of PLACE CORES
"""

from __future__ import annotations

import argparse
import hashlib
import sqlite3
from collections.abc import Iterator
from contextlib import closing

import numpy as np

from app.jobstore.archive import Archive
from app.jobstore.archive.engine import POSTGRESQL
from app.jobstore.archive.rows import packed
from app.jobstore.archive.spelling import look_up, words
from app.jobstore.archive.tables import core, curve, filed, finding, person, result

CORES_OF_RECORD = 6
POINTS = 20
_PHASES = ("L1", "L2", "L3")
_SITES = tuple(f"{first}{last}" for first in ("Fen", "Alder", "Brack", "Corm", "Dun") for last in (
    "mark", "holm", "wick", "stead", "moor", "field", "gate", "ridge"
))  # fmt: skip
_VALUES = (
    ("resistance", "r_winding_75degc_ohm", 2.4),
    ("insulation", "r_insulation_20degc_ohm", 5e9),
    ("excitation", "v_knee_iec_v", 386.0),
    ("excitation", "v_knee_tangent45_v", 371.0),
    ("ratio", "ratio_error_percent", -0.1),
    ("burden", "s_burden_va", 6.2),
)
_TABLES = (filed, core, result, curve, finding, person)
_BATCH = 2000

Row = tuple[object, ...]


def fill(place_text: str, *, first: int, last: int) -> None:
    """Add the records from `first` to `last` - 1 to the archive at that place."""
    archive = Archive.open(place_text)
    archive.close()
    add = _postgresql if archive.url.get_backend_name() == POSTGRESQL else _sqlite
    add(archive, first, last)


def serial_of(record: int, phase: int) -> str:
    """The serial number of a transformer."""
    return f"TX-{record:06d}/{phase}"


def rare_word(record: int) -> str:
    """A word that stands in that record alone."""
    return f"remark{record}"


def _rows(record: int) -> dict[str, list[Row]]:
    digest = hashlib.sha256(str(record).encode()).hexdigest()
    site, number = _SITES[record % len(_SITES)], f"J-{record:06d}"
    day = f"{2000 + record % 25:04d}-{1 + record % 12:02d}-{1 + record % 28:02d}"
    tester, worst = f"T. Adder {record % 30}", ("within", "within", "within", "refer", "outside")[record % 5]
    found: dict[str, list[Row]] = {table.name: [] for table in _TABLES}
    found["filed"].append(
        (
            record, digest, digest, f"job-{record}", 1, number, look_up(number),
            "Commissioning of a line bay", site, look_up(site), "Invented Grid",
            f"WO {record}", look_up(f"WO {record}"), day, day, f"{day}T10:00:00Z", f"{day}T11:00:00Z",
            tester, f"B. Approver {record % 7}", "approved", "genuine", worst, "current", CORES_OF_RECORD,
        )
    )  # fmt: skip
    found["person"].append((record, f"p{record % 30}", "tested", tester, look_up(tester)))
    for place in range(CORES_OF_RECORD):
        _core(found, record, place, day, worst)
    return found


def _core(found: dict[str, list[Row]], record: int, place: int, day: str, worst: str) -> None:
    number, phase = record * CORES_OF_RECORD + place, place % 3
    serial = serial_of(record, phase)
    found["core"].append(
        (
            number, record, f"c{place}", "Line side", "line side", _PHASES[phase], 1 + place // 3, serial,
            look_up(serial), "5P20 15 VA", "5p20 15 va", "1S1-1S2", worst,
        )
    )  # fmt: skip
    scale = 1.0 + (number % 97) * 1e-3
    for sort, (procedure_id, quantity_id, value) in enumerate(_VALUES):
        found["result"].append(
            (number, sort, procedure_id, "", "", quantity_id, value * scale, "", abs(value) * 0.01, "within")
        )
    volts = _VOLTS * scale
    found["curve"].append(
        (number, 0, "1S1-1S2", 50.0, "mean", "true_rms", "yes", POINTS, packed(volts, _AMPERES))
    )
    if worst != "within" and place == 0:
        found["finding"].append(
            (
                number,
                0,
                "resistance",
                "",
                "r_winding_75degc_ohm",
                "resistance.limit",
                worst,
                "Above the plate.",
            )
        )


_VOLTS = np.linspace(20.0, 420.0, POINTS)
_AMPERES = 0.02 * (_VOLTS / 400.0) ** 0.6 + 0.004 * (_VOLTS / 400.0) ** 18


def _told(record: int) -> list[str]:
    site = _SITES[record % len(_SITES)]
    return words(
        [f"J-{record:06d}", site, "Commissioning of a line bay", rare_word(record), f"T. Adder {record % 30}"]
        + [serial_of(record, phase) for phase in range(3)]
    )


def _batches(first: int, last: int) -> Iterator[tuple[range, dict[str, list[Row]]]]:
    for start in range(first, last, _BATCH):
        records = range(start, min(start + _BATCH, last))
        found: dict[str, list[Row]] = {table.name: [] for table in _TABLES}
        for record in records:
            for name, rows in _rows(record).items():
                found[name].extend(rows)
        yield records, found


def _sqlite(archive: Archive, first: int, last: int) -> None:
    with closing(sqlite3.connect(str(archive.url.database))) as raw:
        raw.execute("PRAGMA synchronous=OFF")
        raw.execute("PRAGMA cache_size=-400000")
        for records, found in _batches(first, last):
            for table in _TABLES:
                marks = ", ".join("?" * len(table.columns))
                raw.executemany(f"INSERT INTO {table.name} VALUES ({marks})", found[table.name])
            told = [(record, " ".join(_told(record))) for record in records]
            raw.executemany("INSERT INTO words (rowid, told) VALUES (?, ?)", told)
            raw.commit()
        raw.execute("ANALYZE")
        raw.commit()


def _postgresql(archive: Archive, first: int, last: int) -> None:
    import psycopg

    address = archive.url.set(drivername=POSTGRESQL).render_as_string(hide_password=False)
    with psycopg.connect(address) as connection, connection.cursor() as cursor:
        for records, found in _batches(first, last):
            for table in _TABLES:
                with cursor.copy(f"COPY {table.name} FROM STDIN") as copy:  # type: ignore[arg-type]
                    for row in found[table.name]:
                        copy.write_row(row)
            told = [(record, _told(record)) for record in records]
            cursor.executemany("INSERT INTO words VALUES (%s, array_to_tsvector(%s))", told)
            connection.commit()
        connection.commit()
        connection.autocommit = True
        cursor.execute("VACUUM ANALYZE")


def main() -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.bench.archive_of", description=__doc__)
    asked.add_argument("place")
    asked.add_argument("cores", type=int)
    args = asked.parse_args()
    fill(args.place, first=0, last=args.cores // CORES_OF_RECORD)


if __name__ == "__main__":
    main()
