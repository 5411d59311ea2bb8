"""Fills an archive with invented records, fast: for the benchmarks alone, nothing in its tables is signed.

Run: python -m tests.bench.archive_of PLACE CORES

The same numbers always give the same rows. Six cores make a record, each with one curve of twenty points, six
results and two instruments, so that 1 000 000 cores hold 20 000 000 points. Every record has its deposit, its
answer and its leaf of the tree. What is left out, since the packs of 166 666 records would take 20 GB: every
fiftieth deposit holds a whole signed pack, the same one each time, and the others 1 KB; receipts are bytes of
their usual length without meaning; certificates and who signed are not there.
"""

from __future__ import annotations

import argparse
import hashlib
import time
from collections.abc import Iterator
from functools import cache

import numpy as np

from app.jobstore.archive import Archive
from app.jobstore.archive.rows import packed
from app.jobstore.archive.spelling import look_up, words
from app.jobstore.archive.tables import (
    answer,
    core,
    curve,
    deposit,
    deviation,
    filed,
    finding,
    instrument,
    keeping,
    person,
    result,
)
from tests.app.record.signed_scene import revision_of

CORES_OF_RECORD = 6
POINTS = 20
# One deposit of so many holds a whole pack.
WHOLE_PACK_EVERY = 50
TABLES = (deposit, answer, filed, core, result, curve, finding, deviation, person, instrument, keeping)
# What stands in the first records alone, as the name of a customer that went away.
EARLY_WORD, EARLY_RECORDS = "bygone", 80_000
_PHASES = ("L1", "L2", "L3")
_SITES = tuple(f"{first}{last}" for first in ("Fen", "Alder", "Brack", "Corm", "Dun") for last in (
    "mark", "holm", "wick", "stead", "moor", "field", "gate", "ridge"
))  # fmt: skip
# A word of a remark, and in one of how many records it stands.
REMARKS = {
    "lagged": 2, "painted": 5, "dripping": 20, "loosened": 60, "reversed": 150, "scorched": 700,
    "flooded": 4000,
}  # fmt: skip
_VALUES = (
    ("resistance", "r_winding_75degc_ohm", 2.4),
    ("insulation", "r_insulation_20degc_ohm", 5e9),
    ("excitation", "v_knee_iec_v", 386.0),
    ("excitation", "v_knee_tangent45_v", 371.0),
    ("ratio", "ratio_error_percent", -0.1),
    ("burden", "s_burden_va", 6.2),
)
_WORSTS = ("within", "within", "within", "refer", "outside")
_VOLTS = np.linspace(20.0, 420.0, POINTS)
_AMPERES = 0.02 * (_VOLTS / 400.0) ** 0.6 + 0.004 * (_VOLTS / 400.0) ** 18
_FILLER = hashlib.shake_256(b"deposit").digest(1024)
_RECEIPT = hashlib.shake_256(b"receipt").digest(420)
_SIGNATURE = hashlib.shake_256(b"signature").digest(1900)
_BATCH = 2000

Row = tuple[object, ...]


def fill(place_text: str, *, first: int, last: int) -> None:
    """Add the records from `first` to `last` - 1 to the archive at that place."""
    from tests.bench.archive_filling import fill_tables

    archive = Archive.open(place_text)
    try:
        fill_tables(archive, batches(first, last))
    finally:
        archive.close()


def serial_of(record: int, phase: int) -> str:
    """The serial number of a transformer; each is tested twice, and they come in no order."""
    transformer = record // 1000 * 500 + record % 500
    return f"TX-{transformer * 7919 % 1_000_003:06d}/{phase}"


def rare_word(record: int) -> str:
    """A word that stands in that record alone."""
    return f"remark{record}"


def digest_of(record: int) -> str:
    """The digest under which a record is filed."""
    return hashlib.sha256(str(record).encode()).hexdigest()


def standing_of(record: int) -> str:
    """Whether a record counts, or a later one was put in its place."""
    return "superseded" if _drawn(record, "standing") % 20 == 0 else "current"


def told_of(record: int) -> list[str]:
    """The words by which a record is found."""
    texts = [
        _number(record),
        _site(record),
        "Commissioning of a line bay",
        _customer(record),
        rare_word(record),
    ]
    texts += [f"WO {record}", _tester(record), _approver(record), "Line side", "5P20 15 VA", "Invented Works"]
    texts += [serial_of(record, phase) for phase in range(3)]
    texts += [word for word, every in REMARKS.items() if _drawn(record, word) % every == 0]
    return words(texts)


def batches(first: int, last: int) -> Iterator[tuple[range, dict[str, list[Row]]]]:
    """The rows by table, some records at a time."""
    for start in range(first, last, _BATCH):
        records = range(start, min(start + _BATCH, last))
        found: dict[str, list[Row]] = {table.name: [] for table in TABLES}
        for record in records:
            _add(found, record)
        yield records, found


def _add(found: dict[str, list[Row]], record: int) -> None:
    digest, number, site = digest_of(record), _number(record), _site(record)
    year, worst = 2000 + record % 25, _WORSTS[record % 5]
    day = f"{year:04d}-{1 + record % 12:02d}-{1 + record % 28:02d}"
    at = f"{day}T11:00:00Z"
    data = _pack() if record % WHOLE_PACK_EVERY == 0 else _FILLER
    found["deposit"].append((record + 1, digest, data, "laptop", at))
    found["answer"].append(
        (record + 1, digest, "filed", f"Number {number}, revision 1, is filed.", digest, record, _RECEIPT,
         _SIGNATURE, at)
    )  # fmt: skip
    order = f"WO {record}"
    found["filed"].append(
        (
            record, digest, digest, f"job-{record}", 1, number, look_up(number),
            "Commissioning of a line bay", site, look_up(site), _customer(record),
            order, look_up(order), day, day, f"{day}T10:00:00Z", at,
            _tester(record), _approver(record), "approved", "genuine", worst, standing_of(record),
            CORES_OF_RECORD,
        )
    )  # fmt: skip
    found["keeping"].append((digest, "unit_life_plus_6", f"{year + 24}{day[4:]}", "", ""))
    for who, part, name in (("t", "tested", _tester(record)), ("a", "approved", _approver(record))):
        found["person"].append((record, f"{who}-{name}", part, name, look_up(name)))
    if _drawn(record, "deviation") % 25 == 0:
        is_open = int(_drawn(record, "open") % 2 == 0)
        found["deviation"].append(
            (record, "d1", "c0", "Cover cracked.", "", "", "B. Approver", "2031-07-01", is_open)
        )
    for place in range(CORES_OF_RECORD):
        _add_core(found, record, place, year, worst)


def _add_core(found: dict[str, list[Row]], record: int, place: int, year: int, worst: str) -> None:
    number, phase = record * CORES_OF_RECORD + place, place % 3
    serial = serial_of(record, phase)
    found["core"].append(
        (
            number, record, f"c{place}", "Line side", "line side", _PHASES[phase], 1 + place // 3, serial,
            serial.lower(), "5P20 15 VA", "5p20 15 va", "1S1-1S2", worst,
        )
    )  # fmt: skip
    scale = 1.0 + (number % 997) * 1e-4
    for sort, (procedure_id, quantity_id, value) in enumerate(_VALUES):
        found["result"].append(
            (number, sort, procedure_id, "", "", quantity_id, value * scale, "", abs(value) * 0.01, "within")
        )
    found["curve"].append(
        (number, 0, "1S1-1S2", 50.0, "mean", "true_rms", "yes", POINTS, _curve(number % 997))
    )
    for procedure_id, kind in (("ratio", record % 40), ("resistance", 40 + record % 20)):
        serial = f"M-{kind:03d}"
        found["instrument"].append(
            (number, f"i{kind}", procedure_id, "Meter", serial, serial.lower(), f"{year + 1}-06-30")
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


@cache
def _curve(kind: int) -> bytes:
    return packed(_VOLTS * (1.0 + kind * 1e-4), _AMPERES * (1.0 + kind * 3e-4))


@cache
def _pack() -> bytes:
    return revision_of().packed


def _drawn(record: int, about: str) -> int:
    """A number drawn for a record, the same each time."""
    return int.from_bytes(hashlib.blake2b(f"{about} {record}".encode(), digest_size=4).digest(), "big")


def _number(record: int) -> str:
    return f"J-{record:06d}"


def _site(record: int) -> str:
    return _SITES[_drawn(record, "site") % len(_SITES)]


def _customer(record: int) -> str:
    return f"Invented Grid {EARLY_WORD if record < EARLY_RECORDS else 'today'}"


def _tester(record: int) -> str:
    return f"T. Adder {record % 30}"


def _approver(record: int) -> str:
    return f"B. Approver {record % 7}"


def main() -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.bench.archive_of", description=__doc__)
    asked.add_argument("place")
    asked.add_argument("cores", type=int)
    args = asked.parse_args()
    started = time.perf_counter()
    fill(args.place, first=0, last=args.cores // CORES_OF_RECORD)
    print(f"{args.cores} cores with {args.cores * POINTS} points in {time.perf_counter() - started:.0f} s")


if __name__ == "__main__":
    main()
