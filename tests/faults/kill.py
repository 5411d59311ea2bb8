"""SIGKILL at random moments of everything that the program does.

A child does one activity over and over and tells the parent about each thing only after the call has
returned. The parent kills it and looks for everything that it was told about, in a store that is whole. The
control tells the parent before the call: it must be caught. What a killed process leaves is in the page
cache still, so this says nothing about power cuts.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

from app.jobstore import Store
from tests.faults.activities import (
    ACTIVITIES,
    STORE_NAME,
    Activity,
    Tell,
    fresh_texts,
    make_store,
    problems_of_copies,
    problems_of_store,
)
from tests.one_core import act, reading

SHORT_COUNT = 10
LONG_COUNT = 1000
CONTROL_COUNT = 15
_FRESH_EVERY = 10
_SLOW_DISK_S = 0.005


def run(long: bool) -> dict[str, Any]:
    """The result of the suite: kills, kills after which something was wrong, whether the control was seen."""
    kills = LONG_COUNT if long else SHORT_COUNT
    failed = {one.name: failures(one, kills, seed=number) for number, one in enumerate(ACTIVITIES, start=1)}
    return {
        "name": "kill",
        "cases": kills * len(ACTIVITIES),
        "failed": sum(failed.values()),
        "control_caught": all(failures(one, CONTROL_COUNT, seed=0) > 0 for one in CONTROLS),
        "by_activity": failed,
    }


def tell_too_early(folder: Path, tell: Tell) -> Iterator[None]:
    """The control: told about before it is saved."""
    with closing(Store.open(folder / STORE_NAME)) as store:
        while True:
            (text,) = fresh_texts(most=1)
            tell(text)
            store.append("j1", act(), readings=[reading(text)])
            yield


def count_too_early(folder: Path, _tell: Tell) -> Iterator[None]:
    """The control: a copy that bears its name before it is whole."""
    place = folder / "copies" / "unsafe"
    place.mkdir(parents=True, exist_ok=True)
    data = (folder / STORE_NAME).read_bytes()
    while True:
        with (place / "000001_2031-05-04T084207Z.sqlite").open("wb", buffering=0) as stream:
            stream.write(data[: len(data) // 2])
            time.sleep(_SLOW_DISK_S)
            stream.write(data[len(data) // 2 :])
        yield


CONTROLS = (
    Activity(name="tell_too_early", prepare=make_store, rounds=tell_too_early, problems=problems_of_store),
    Activity(name="count_too_early", prepare=make_store, rounds=count_too_early, problems=problems_of_copies),
)


def failures(activity: Activity, kills: int, *, seed: int) -> int:
    """After how many of so many kills of an activity something was wrong."""
    chance = random.Random(seed)
    failed = 0
    with tempfile.TemporaryDirectory() as folder:
        start = Path(folder) / "start"
        start.mkdir()
        activity.prepare(start)
        place, told = start, list[str]()
        for number in range(kills):
            if activity.fresh or number % _FRESH_EVERY == 0:
                place, told = _fresh(start, number), []
            told += _killed_after(activity, place, chance.uniform(0.0, activity.longest_s))
            problems = activity.problems(place, told)
            if problems:
                failed += 1
                if activity not in CONTROLS:
                    print(f"kill {number} of {activity.name}: {problems}", file=sys.stderr)
                place, told = _fresh(start, number, again=True), []
    return failed


def _fresh(start: Path, number: int, *, again: bool = False) -> Path:
    """The folder as it was prepared, once more."""
    place = start.with_name(f"{number}{' again' if again else ''}")
    shutil.copytree(start, place)
    return place


def _killed_after(activity: Activity, folder: Path, seconds: float) -> list[str]:
    """Start the activity in a child, kill it after a while, and return what it told before."""
    ear, mouth = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ear)
        try:
            for _ in activity.rounds(folder, lambda text: _say(mouth, text)):
                pass
            signal.pause()
        finally:
            os._exit(3)
    os.close(mouth)
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    with os.fdopen(ear, "rb") as stream:
        told = stream.read().decode().splitlines()
    if not os.WIFSIGNALED(status):
        told.append("the child ended by itself")
    return told


def _say(mouth: int, text: str) -> None:
    os.write(mouth, f"{text}\n".encode())
