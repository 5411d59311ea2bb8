"""Flips, bursts, cuts and swapped pages in a store with a signed and issued job: none may pass unnoticed.

What is left of the file is checked as the command line checks a store. The answer has to be altered, or
cannot tell, or genuine with every event, reading and record byte for byte what it was; it comes within
seconds, and nothing is written. The control asks the database whether its pages are in order, as a plain
program would: it lets changed readings pass, and must be caught.
"""

from __future__ import annotations

import faulthandler
import random
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import closing, contextmanager
from functools import lru_cache
from pathlib import Path
from typing import Any, Final
from unittest import mock

from app.desk.checking import verdict_on_store
from app.jobstore import Store, StoreProblem
from app.record import cms, envelope, revision, sheet_reading
from app.record.trust import Trust
from app.record.verify import is_store, verify_path
from tests.app.desk import making

SHORT_COUNT: Final = 690
LONG_COUNT: Final = 20_000
CONTROL_COUNT: Final = 400
_LONGEST_S: Final = 10.0
_HANGS_AFTER_S: Final = 120.0
_SECTOR: Final = 512

Case = tuple[str, bytes]
Content = tuple[object, ...]


def run(long: bool) -> dict[str, Any]:
    """The result of the suite."""
    with tempfile.TemporaryDirectory() as folder, _remembered():
        bench = Bench(Path(folder))
        outcomes: Counter[str] = Counter()
        cases = failed = 0
        longest_s = 0.0
        for store in (bench.own, bench.dense):
            if bench.put(store).problem() is not None:
                raise AssertionError("the store itself is not genuine")
            for name, data in damaged(store, long, every_bit=long and store is bench.dense):
                faulthandler.dump_traceback_later(_HANGS_AFTER_S, exit=True)
                began = time.perf_counter()
                problem = bench.put(data).problem()
                longest_s = max(longest_s, time.perf_counter() - began)
                cases += 1
                outcomes[bench.outcome] += 1
                if problem is not None:
                    failed += 1
                    print(f"{name}: {problem}", file=sys.stderr)
        faulthandler.cancel_dump_traceback_later()
        caught = control_caught(bench)
    return {
        "name": "store_flips",
        "cases": cases,
        "failed": failed + (longest_s > _LONGEST_S),
        "control_caught": caught,
        "outcomes": dict(outcomes),
        "longest_s": round(longest_s, 2),
    }


class Bench:
    """A folder with one store that is overwritten from case to case; what was issued lies beside it."""

    def __init__(self, folder: Path) -> None:
        self.path, self.trust = _made(folder)
        self.own = self.path.read_bytes()
        self.dense = _with_small_pages(self.path)
        self.wanted = content_of(self.path)
        self.beside = _names(folder)
        self.outcome = ""
        self._data = self.own

    def put(self, data: bytes) -> Bench:
        """Put these bytes in the place of the store."""
        self.path.write_bytes(data)
        self._data = data
        return self

    def problem(self) -> str | None:
        """What is wrong with the answer about the store as it lies there; None where nothing is."""
        problem, self.outcome = None, "nothing"
        # Safety: whatever a check lets through is what this suite looks for, so every exception is one.
        try:
            verdict = (
                verdict_on_store(self.path, self.trust)
                if is_store(self.path)
                else verify_path(self.path, trust=self.trust)
            )
            self.outcome = verdict.outcome
            if not verdict.sentences[0]:
                problem = "no sentence"
            elif verdict.outcome == "genuine" and content_of(self.path) != self.wanted:
                problem = "passed for genuine with other content"
        except Exception as raised:
            problem = f"raised {raised!r}"
        if self.path.read_bytes() != self._data:
            problem = "was written to"
        left = _names(self.path.parent) - self.beside
        for name in left:
            (self.path.parent / name).unlink()
        return f"left {sorted(left)}" if left else problem


def content_of(path: Path) -> Content:
    """Every event, reading and record, as the store gives them."""
    with closing(Store.open(path, read_only=True)) as store:
        jobs = [line.job_id for line in store.jobs()]
        return (
            store.events(),
            store.heads(),
            [(store.events(job_id), store.load(job_id), store.revisions(job_id)) for job_id in jobs],
            [(one, store.attachment_bytes(one)) for job_id in jobs for one in store.attachments(job_id)],
        )


def damaged(store: bytes, long: bool, *, every_bit: bool) -> Iterator[Case]:
    """The store in many bad states, each with a name to find it again by."""
    count = LONG_COUNT if long else SHORT_COUNT
    chance = random.Random(len(store))
    yield from marked_otherwise(store)
    yield from (_flip(store, bit) for bit in (range(8 * len(store)) if every_bit else _bits(store, count)))
    for way in (overwritten, wiped, cut, with_pages_swapped, with_a_page_twice):
        yield from (way(store, chance) for _ in range(count // 16))


def _bits(store: bytes, count: int) -> Iterator[int]:
    """Bits by chance, three of four where something is written."""
    chance = random.Random(count)
    written = [at for at, byte in enumerate(store) if byte]
    for number in range(count * 11 // 16):
        at = chance.choice(written) if number % 4 else chance.randrange(len(store))
        yield 8 * at + chance.randrange(8)


def _flip(store: bytes, bit: int) -> Case:
    at, mask = bit >> 3, 1 << (bit & 7)
    return f"bit {bit} of {len(store)} bytes", store[:at] + bytes((store[at] ^ mask,)) + store[at + 1 :]


def marked_otherwise(store: bytes) -> Iterator[Case]:
    """Bytes of the header that say how the file is to be written, read and encoded, and how long it is."""
    for at in (16, 18, 19, 20, 21, 23, 27, 31, 35, 47, 55, 59, 63, 71, 95):
        for value in {0, 1, 2, 3, 255} - {store[at]}:
            yield f"byte {at} set to {value}", store[:at] + bytes((value,)) + store[at + 1 :]
    # Format: both bytes 2 say that changes lie in a file of their own, which reading alone would make.
    yield "marked for a log", store[:18] + b"\x02\x02" + store[20:]


def overwritten(store: bytes, chance: random.Random) -> Case:
    """Some bytes by chance in a row."""
    at, length = chance.randrange(len(store)), chance.randrange(2, 64)
    return f"{length} bytes overwritten at {at}", _put(store, at, chance.randbytes(length))


def wiped(store: bytes, chance: random.Random) -> Case:
    """A sector that a disk gives back empty, or full of ones."""
    at, byte = chance.randrange(len(store) // _SECTOR) * _SECTOR, chance.choice((0, 255))
    return f"sector at {at} wiped with {byte}", _put(store, at, bytes((byte,)) * _SECTOR)


def cut(store: bytes, chance: random.Random) -> Case:
    """The file cut off, or something put at its end."""
    at = chance.randrange(len(store))
    if at % 4 == 0:
        return f"{at} bytes at the end twice", store + store[-at:]
    at -= at % _page_size(store) if at % 4 == 1 else 0
    return f"cut off at {at}", store[:at]


def with_pages_swapped(store: bytes, chance: random.Random) -> Case:
    """Two pages, each in the place of the other."""
    size = _page_size(store)
    one, other = (number * size for number in chance.sample(range(len(store) // size), 2))
    swapped = _put(_put(store, one, store[other : other + size]), other, store[one : one + size])
    return f"pages at {one} and {other} swapped", swapped


def with_a_page_twice(store: bytes, chance: random.Random) -> Case:
    """A page in the place of another."""
    size = _page_size(store)
    one, other = (number * size for number in chance.sample(range(len(store) // size), 2))
    return f"page at {one} put at {other} too", _put(store, other, store[one : one + size])


def control_caught(bench: Bench) -> bool:
    """Whether a check of the pages alone is seen to let changed content pass."""
    return any(
        _passes_changed(bench.put(_flip(bench.own, bit)[1])) for bit in _bits(bench.own, CONTROL_COUNT)
    )


def _passes_changed(bench: Bench) -> bool:
    try:
        with closing(sqlite3.connect(bench.path)) as raw:
            if raw.execute("PRAGMA integrity_check").fetchall() != [("ok",)]:
                return False
        return content_of(bench.path) != bench.wanted
    except (sqlite3.DatabaseError, StoreProblem):
        return False


def _made(folder: Path) -> tuple[Path, Trust]:
    """A store that is closed, with a job that one person tested and another approved and issued."""
    with mock.patch.object(envelope, "MEMORY_KIB", 64):
        seat = making.seat(folder, making.TESTER, making.Clock())
        as_tester = {name: seat.desk.settings.get(name) for name in ("person_id", "person_name_text")}
        as_approver = {"person_id": "m-oskarrin", "person_name_text": making.APPROVER}
        for who in (as_approver, as_tester):
            seat.desk.settings.change(**who)
            seat.desk.make_key(making.PASSPHRASE)
        job_id = making.complete_job(seat.desk)
        seat.desk.hand_in(job_id, making.PASSPHRASE, making.APPROVER)
        seat.desk.settings.change(**as_approver)
        seat.desk.approve(job_id, making.PASSPHRASE)
        seat.desk.issue(job_id, making.PASSPHRASE)
        trust = seat.desk.trust()
        seat.close()
    return seat.store.path, trust


def _with_small_pages(path: Path) -> bytes:
    """The same store in pages so small that hardly a byte of the file is unused."""
    target = path.with_name("dense")
    with closing(sqlite3.connect(path)) as raw:
        raw.execute(f"PRAGMA page_size={_SECTOR}")
        raw.execute("VACUUM INTO ?", (str(target),))
    data = target.read_bytes()
    target.unlink()
    return data


@contextmanager
def _remembered() -> Iterator[None]:
    """What was read of the very same bytes is remembered: sheets and signatures stay as they are."""
    with (
        mock.patch.object(sheet_reading, "read", lru_cache(64)(sheet_reading.read)),
        mock.patch.object(revision, "from_bytes", lru_cache(64)(revision.from_bytes)),
        mock.patch.object(cms, "check", lru_cache(64)(cms.check)),
    ):
        yield


def _put(store: bytes, at: int, piece: bytes) -> bytes:
    return (store[:at] + piece + store[at + len(piece) :])[: len(store)]


def _page_size(store: bytes) -> int:
    return int.from_bytes(store[16:18], "big")


def _names(folder: Path) -> frozenset[str]:
    return frozenset(one.name for one in folder.iterdir())


if __name__ == "__main__":
    print(run("long" in sys.argv[1:]))
