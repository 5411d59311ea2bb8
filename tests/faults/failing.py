"""File calls that fail, and a disk that is full: the program runs with a library preloaded that does both.

The suites that use it start themselves once more with the library, and print what they found as JSON.
"""

from __future__ import annotations

import ctypes
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from app.desk import Refusal
from app.exchange.problem import JobFileProblem
from app.jobstore import StoreProblem
from tests.faults import shims
from tests.faults.activities import Activity, Tell

# What the program is allowed to say; anything else is a fault of the program.
SAID = (StoreProblem, Refusal, JobFileProblem, OSError)


def run_apart(suite: str, long: bool) -> dict[str, Any]:
    """The result of a suite that ran in a process of its own with the library preloaded."""
    why = shims.why_none(suite)
    if why is not None:
        print(why, file=sys.stderr)
        return {"name": suite, "cases": 0, "failed": 0, "control_caught": None}
    with tempfile.TemporaryDirectory() as folder:
        shim = shims.built("failing", Path(folder))
        done = subprocess.run(
            [sys.executable, "-m", f"tests.faults.{suite}", *(["--long"] if long else [])],
            cwd=shims.ROOT,
            env={**os.environ, "LD_PRELOAD": str(shim)},
            stdout=subprocess.PIPE,
            check=True,
        )
    found: dict[str, Any] = json.loads(done.stdout)
    return found


class Disk:
    """The folder in which calls fail."""

    def __init__(self) -> None:
        self._shim = ctypes.CDLL(None)
        self._shim.fail_calls.restype = ctypes.c_long

    def watch(self, folder: Path | None) -> None:
        """From now on nothing fails, in this folder or any; calls are counted from 0."""
        self._shim.fail_in(os.fsencode(folder or ""))

    def fail(self, number: int, error: int, *, sticky: bool) -> None:
        """The call of that number fails with that error, and where it is sticky all after it."""
        self._shim.fail_at(ctypes.c_long(number), error, int(sticky))

    def fill(self, room_bytes: int) -> None:
        """So much may be written before the disk is full."""
        self._shim.room_left(ctypes.c_int64(room_bytes))

    @property
    def calls(self) -> int:
        """How many calls there were that changed something."""
        return int(self._shim.fail_calls())


@contextmanager
def prepared(activity: Activity) -> Iterator[Callable[[], Path]]:
    """A maker of fresh folders for an activity."""
    with tempfile.TemporaryDirectory(dir=shims.fast_folder()) as folder:
        start, place = Path(folder) / "start", Path(folder) / "place"
        start.mkdir()
        activity.prepare(start)

        def fresh() -> Path:
            shutil.rmtree(place, ignore_errors=True)
            shutil.copytree(start, place)
            return place

        yield fresh


def do_rounds(activity: Activity, folder: Path, tell: Tell, count: int) -> str:
    """Do an activity so many rounds; empty, or what broke it off that no user should ever see."""
    rounds = activity.rounds(folder, tell)
    try:
        for _ in range(count):
            if next(rounds, "ended") == "ended":
                break
        rounds.close()
    except SAID:
        return ""
    except Exception as problem:
        return f"{type(problem).__name__}: {problem}"
    return ""
