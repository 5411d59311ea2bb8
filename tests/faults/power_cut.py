"""Power cuts at every point of a recorded session of the real store.

A child makes a store, keys readings, attaches a file, freezes a revision, closes, opens again and goes on; a
recorder notes every write, cut, sync and naming. Then the disk is built as it may be found after a cut at
points all along the notes, the store is opened from it, and everything that was said to be saved by then must
be there, with a trail that is whole. Two weakened stores have to be caught: one that does not sync, and one
whose journal is deleted instead of cut. Needs Linux and gcc.
"""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import subprocess
import sys
import tempfile
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from app.jobstore import Store, StoreProblem, engine
from app.record.act import Act
from ctcore.job import CT, Core, Header, Job, Position, Reading, Tap
from tests.faults.powercut_disk import STYLES, Disk, read_notes

SHORT_COUNT = 1_000
LONG_COUNT = 50_000
CONTROL_COUNT = 400
STORE_NAME = "jobs.coreleaf"

# What is weakened in the store, by the name of the control.
WEAKENED = {
    "none": {},
    "synchronous=OFF": {"synchronous": ("OFF", 0)},
    "DELETE+FULL": {"journal_mode": ("DELETE", "delete")},
}

_ROOT = Path(__file__).parents[2]
_AT_UTC = "2031-05-04T08:42:07.120Z"
_ENTRIES = 12


def run(long: bool) -> dict[str, Any]:
    """The result: cuts, cuts after which something was wrong, whether both controls were seen."""
    if sys.platform != "linux" or shutil.which("gcc") is None:
        print("power_cut needs Linux and gcc, and was left out", file=sys.stderr)
        return {"name": "power_cut", "cases": 0, "failed": 0, "control_caught": None}
    cases = LONG_COUNT if long else SHORT_COUNT
    with tempfile.TemporaryDirectory() as folder:
        shim = _built_shim(Path(folder))
        failed = _failures("none", cases, shim=shim, seed=1)
        caught = all(
            _failures(control, CONTROL_COUNT, shim=shim, seed=2) > 0
            for control in WEAKENED
            if control != "none"
        )
    return {"name": "power_cut", "cases": cases, "failed": failed, "control_caught": caught}


def session(folder: Path, weakened: str) -> None:
    """What the child does; a line of the file `told` is what the program would show as saved."""
    changes = WEAKENED[weakened]
    engine.PRAGMAS = tuple((name, *changes.get(name, rest)) for name, *rest in engine.PRAGMAS)  # type: ignore[misc]
    told = os.open(folder / "told", os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)

    def tell(text: str) -> None:
        os.write(told, f"{text}\n".encode())

    for evening in (False, True):
        store = Store.open(folder / STORE_NAME)
        tell("opened")
        if not evening:
            store.create(_job(), _act())
            tell("job")
        for _ in range(_ENTRIES):
            texts = [str(uuid.uuid4()) for _ in range(random.randint(1, 3))]
            store.append("j1", _act(), readings=[_reading(text) for text in texts])
            for text in texts:
                tell(text)
        data = os.urandom(9000)
        store.add_attachment(
            "j1",
            data,
            name_text="plate.jpg",
            media_type="image/jpeg",
            core_id="c1",
            procedure_id="",
            act=_act(),
        )
        tell(f"attached {hashlib.sha256(data).hexdigest()}")
        revision = 2 if evening else 1
        store.freeze("j1", b"{}" * 2000, _act(), revision=revision, state="approved")
        tell(f"frozen {revision}")
        tell("closing")
        store.close()


def _failures(weakened: str, cases: int, *, shim: Path, seed: int) -> int:
    chance = random.Random(seed)
    failed = 0
    judged: dict[bytes, list[str]] = {}
    with tempfile.TemporaryDirectory() as recorded, tempfile.TemporaryDirectory(dir=_fast_folder()) as cut:
        for disk, told in _cuts(Path(recorded), weakened, cases, shim=shim, chance=chance):
            # Many cuts leave the same disk, and the same things told: one look is enough.
            key = _key(disk, told)
            if key not in judged:
                judged[key] = _problems(disk, told, recorded=Path(recorded), cut=Path(cut) / "disk")
            if judged[key]:
                failed += 1
                if weakened == "none":
                    print(f"after {told[-1] if told else 'nothing'}: {judged[key]}", file=sys.stderr)
    return failed


def _cuts(
    recorded: Path, weakened: str, cases: int, *, shim: Path, chance: random.Random
) -> Iterator[tuple[dict[str, bytes | None], list[str]]]:
    """Disks that may be found, and what had been told by then: `cases` of them, spread over the session."""
    notes = read_notes(_record(recorded, weakened, shim=shim))
    disk = Disk()
    told = b""
    done = 0
    for number, note in enumerate(notes, start=1):
        if note.what == "A":
            told += note.data
        elif not note.path.endswith("/told"):
            disk.apply(note)
        while done < cases * number // len(notes):
            yield disk.after_a_cut(chance, STYLES[done % len(STYLES)]), told.decode().splitlines()
            done += 1


def _problems(disk: dict[str, bytes | None], told: list[str], *, recorded: Path, cut: Path) -> list[str]:
    """What is wrong with the store on a disk that was found after a cut."""
    _lay_out(disk, recorded=recorded, cut=cut)
    try:
        store = Store.open(cut / STORE_NAME)
    except StoreProblem as problem:
        return [problem.sentence]
    try:
        found = store.faults()
        if store.read_only:
            found.append(f"opened for reading only: {store.read_only_reason}")
        if told and told[-1] != "closing" and store.opening_note is None:
            found.append("nothing was said about the unexpected stop")
        lost = set(told) - {"opened", "closing"} - _kept(store)
        return found + [f"lost: {text}" for text in lost]
    except StoreProblem as problem:
        return [problem.sentence]
    finally:
        store.close()


def _kept(store: Store) -> set[str]:
    if not store.jobs():
        return set()
    return {
        "job",
        *(entry.as_typed_text for entry in store.load("j1").readings),
        *(f"attached {entry.digest}" for entry in store.attachments("j1")),
        *(f"frozen {entry.revision}" for entry in store.revisions("j1")),
    }


def _lay_out(disk: dict[str, bytes | None], *, recorded: Path, cut: Path) -> None:
    shutil.rmtree(cut, ignore_errors=True)
    cut.mkdir()
    for name in sorted(disk):
        place, data = cut / Path(name).relative_to(recorded), disk[name]
        if data is None:
            place.mkdir()
        else:
            place.write_bytes(data)


def _key(disk: dict[str, bytes | None], told: list[str]) -> bytes:
    whole = hashlib.sha256("\n".join(told).encode())
    for name in sorted(disk):
        whole.update(name.encode())
        whole.update(hashlib.sha256(disk[name] or b"").digest())
    return whole.digest()


def _record(folder: Path, weakened: str, *, shim: Path) -> Path:
    log = shim.with_name(f"notes of {weakened}")
    log.unlink(missing_ok=True)
    subprocess.run(
        [sys.executable, "-m", "tests.faults.power_cut", str(folder), weakened],
        cwd=_ROOT,
        env={
            **os.environ,
            "LD_PRELOAD": str(shim),
            "POWERCUT_FOLDER": str(folder),
            "POWERCUT_LOG": str(log),
        },
        check=True,
    )
    return log


def _built_shim(folder: Path) -> Path:
    shim = folder / "powercut.so"
    source = Path(__file__).with_name("powercut_shim.c")
    subprocess.run(["gcc", "-shared", "-fPIC", "-O2", "-o", shim, source, "-lpthread"], check=True)
    return shim


def _fast_folder() -> str | None:
    return "/dev/shm" if os.access("/dev/shm", os.W_OK) else None


def _job() -> Job:
    tap = Tap(tap_id="t1", terminals_text="S1-S2", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)
    core = Core(core_id="c1", number=1, class_text="5P20", taps=(tap,))
    ct = CT(ct_id="ct1", phase_text="L1", cores=(core,))
    position = Position(position_id="b1", name_text="Bay 1", cts=(ct,))
    return Job(job_id="j1", header=Header(number_text="1042"), positions=(position,))


def _act() -> Act:
    return Act("reading", "p1", "A. Tester", _AT_UTC, 120, "Etc/UTC")


def _reading(text: str) -> Reading:
    return Reading(
        reading_id=str(uuid.uuid4()),
        core_id="c1",
        procedure_id="excitation",
        take=1,
        row="1",
        quantity_id="v_excitation_v",
        as_typed_text=text,
        value_text=None,
        person_id="p1",
        at_utc=_AT_UTC,
        utc_offset_minutes=120,
        device_id="",
        device_seq=0,
    )


if __name__ == "__main__":
    session(Path(sys.argv[1]), sys.argv[2])
