"""Power cuts at every point of what the program does.

A child does one activity some rounds long; a recorder notes every write, cut, sync and naming. Then the
disk is built as it may be found after a cut at points all along the notes, and everything that was said to
be saved by then must be there, in a store that is whole. Weakened programs have to be caught: a store that
does not sync, one whose journal is deleted instead of cut, copies that are not synced. Needs Linux and gcc.
"""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from app.jobstore import engine
from tests.faults import shims
from tests.faults.activities import ACTIVITIES, Activity, named
from tests.faults.powercut_disk import STYLES, Disk, read_notes

SHORT_COUNT = 40
LONG_COUNT = 6_000
CONTROL_COUNT = 60

# Rounds of each activity that are recorded; the ones that take long are recorded shorter.
ROUNDS = {"key": 24, "key_at_desk": 12, "sign": 2, "migrate": 1, "give_out": 3}
_ROUNDS = 5

# What is weakened, by the name of the control: the setting of the engine, and what shows it.
WEAKENED: dict[str, tuple[dict[str, tuple[str, object]], str]] = {
    "synchronous=OFF": ({"synchronous": ("OFF", 0)}, "key"),
    "DELETE+FULL": ({"journal_mode": ("DELETE", "delete")}, "key"),
    "copies not synced": ({}, "copy"),
}


def run(long: bool) -> dict[str, Any]:
    """The result: cuts, cuts after which something was wrong, whether every control was seen."""
    why = shims.why_none("power_cut")
    if why is not None:
        print(why, file=sys.stderr)
        return {"name": "power_cut", "cases": 0, "failed": 0, "control_caught": None}
    cases = LONG_COUNT if long else SHORT_COUNT
    with tempfile.TemporaryDirectory() as folder:
        shim = shims.built("powercut", Path(folder))
        failed = {
            one.name: failures(one, "", cases, shim=shim, seed=number)
            for number, one in enumerate(ACTIVITIES, start=1)
        }
        caught = all(
            failures(named(shown_by), weakened, CONTROL_COUNT, shim=shim, seed=2) > 0
            for weakened, (_, shown_by) in WEAKENED.items()
        )
    return {
        "name": "power_cut",
        "cases": cases * len(ACTIVITIES),
        "failed": sum(failed.values()),
        "control_caught": caught,
        "by_activity": failed,
    }


def session(folder: Path, activity: Activity, weakened: str) -> None:
    """What the child does; a line of the file `told` is what the program would show as saved."""
    if weakened:
        changes = WEAKENED[weakened][0]
        engine.PRAGMAS = tuple((name, *changes.get(name, rest)) for name, *rest in engine.PRAGMAS)  # type: ignore[misc]
    if weakened == "copies not synced":
        _leave_out_syncs()
    told = os.open(folder / "told", os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    rounds = activity.rounds(folder, lambda text: _say(told, text))
    for _ in range(ROUNDS.get(activity.name, _ROUNDS)):
        if next(rounds, "ended") == "ended":
            return
    rounds.close()


def _leave_out_syncs() -> None:
    """From now on this program's own files are not synced, nor are their folders."""
    os.fsync = lambda _descriptor: None


def _say(told: int, text: str) -> None:
    os.write(told, f"{text}\n".encode())


def failures(activity: Activity, weakened: str, cases: int, *, shim: Path, seed: int) -> int:
    """After how many of so many cuts of an activity something was wrong."""
    chance = random.Random(seed)
    failed = 0
    judged: dict[bytes, list[str]] = {}
    with (
        tempfile.TemporaryDirectory() as recorded,
        tempfile.TemporaryDirectory(dir=shims.fast_folder()) as cut,
    ):
        for disk, told in _cuts(Path(recorded), activity, weakened, cases, shim=shim, chance=chance):
            # Many cuts leave the same disk, and the same things told: one look is enough.
            key = _key(disk, told)
            if key not in judged:
                place = Path(cut) / "disk"
                _lay_out(disk, recorded=Path(recorded), cut=place)
                judged[key] = activity.problems(place, told)
            if judged[key]:
                failed += 1
                if not weakened:
                    print(f"{activity.name} after {told[-1:]}: {judged[key]}", file=sys.stderr)
    return failed


def _cuts(
    recorded: Path, activity: Activity, weakened: str, cases: int, *, shim: Path, chance: random.Random
) -> Iterator[tuple[dict[str, bytes | None], list[str]]]:
    """Disks that may be found, and what had been told by then: `cases` of them, spread over the session."""
    activity.prepare(recorded)
    disk = Disk()
    disk.hold(recorded)
    notes = read_notes(_record(recorded, activity, weakened, shim=shim))
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


def _record(folder: Path, activity: Activity, weakened: str, *, shim: Path) -> Path:
    log = shim.with_name(f"notes of {activity.name} {weakened}")
    subprocess.run(
        [sys.executable, "-m", "tests.faults.power_cut", str(folder), activity.name, weakened],
        cwd=shims.ROOT,
        env={
            **os.environ,
            "LD_PRELOAD": str(shim),
            "POWERCUT_FOLDER": str(folder),
            "POWERCUT_LOG": str(log),
        },
        check=True,
    )
    return log


if __name__ == "__main__":
    session(Path(sys.argv[1]), named(sys.argv[2]), sys.argv[3])
