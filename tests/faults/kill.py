"""SIGKILL at random moments while readings are keyed, a new store is made or an old one opened.

A child keys readings through the store or through the desk and tells the parent about each one only after
the call has returned. The parent kills it, opens the store again and looks for every reading it was told
about, with its text, and for a trail that is whole. The control tells the parent before the call: it must be
caught. What a killed process leaves is in the page cache still, so this says nothing about power cuts.
"""

from __future__ import annotations

import os
import random
import signal
import sys
import tempfile
import time
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import Any, NoReturn

from app.desk import Address, Desk
from app.jobstore import Store, StoreProblem
from app.record.act import Act
from app.settings import Settings
from ctcore.job import CT, Core, Header, Job, Position, Reading, Tap

SHORT_COUNT = 50
LONG_COUNT = 1000
CONTROL_COUNT = 40
_FRESH_EVERY = 10
_LONGEST_MS = 120.0
_AT_UTC = "2031-05-04T08:42:07.120Z"

Tell = Callable[[str], None]
Writer = Callable[[Path, Tell], NoReturn]


def run(long: bool) -> dict[str, Any]:
    """The result of the suite: kills, kills after which something was wrong, whether the control was seen."""
    kills = LONG_COUNT if long else SHORT_COUNT
    half = kills // 2
    failed = _failures(key_into_store, half, seed=1) + _failures(key_at_desk, kills - half, seed=2)
    caught = _failures(tell_too_early, CONTROL_COUNT, seed=3) > 0
    return {"name": "kill", "cases": kills, "failed": failed, "control_caught": caught}


def key_into_store(path: Path, tell: Tell) -> NoReturn:
    """Key readings through the store, one to three at a time, told about when they are saved."""
    store = _opened(path)
    while True:
        texts = _texts()
        store.append("j1", _act(), readings=[_reading(text) for text in texts])
        for text in texts:
            tell(text)


def tell_too_early(path: Path, tell: Tell) -> NoReturn:
    """The control: told about before it is saved."""
    store = _opened(path)
    while True:
        text = _texts()[0]
        tell(text)
        store.append("j1", _act(), readings=[_reading(text)])


def key_at_desk(path: Path, tell: Tell) -> NoReturn:
    """Key readings with the verbs of the desk, as the window does."""
    store = _opened(path)
    desk = Desk(store, Settings(path.parent, {"person_name_text": "A. Tester", "person_id": "p1"}))
    while True:
        entries = [
            (Address("c1", "excitation", 1, str(1 + number), "v_excitation_v"), text)
            for number, text in enumerate(_texts())
        ]
        desk.key_many("j1", entries)
        for _, text in entries:
            tell(text)


def _failures(writer: Writer, kills: int, *, seed: int) -> int:
    chance = random.Random(seed)
    failed = 0
    with tempfile.TemporaryDirectory() as folder:
        for number in range(kills):
            if number % _FRESH_EVERY == 0:
                path, told = Path(folder) / f"{number}.coreleaf", list[str]()
            told += _killed_after(writer, path, chance.uniform(0.0, _LONGEST_MS) / 1e3)
            problems = _problems(path, told)
            if problems:
                failed += 1
                if writer is not tell_too_early:
                    print(f"kill {number} of {writer.__name__}: {problems}", file=sys.stderr)
                path, told = Path(folder) / f"{number}-again.coreleaf", []
    return failed


def _killed_after(writer: Writer, path: Path, seconds: float) -> list[str]:
    """Start the writer in a child, kill it after a while, and return what it told before."""
    ear, mouth = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ear)
        try:
            writer(path, lambda text: _say(mouth, text))
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


def _problems(path: Path, told: list[str]) -> list[str]:
    """What is wrong with the store that a killed child left."""
    left_locked = path.with_name(path.name + ".lock").exists()
    try:
        store = Store.open(path)
    except StoreProblem as problem:
        return [problem.sentence]
    try:
        found = store.faults()
        if store.read_only:
            found.append("the lock of a dead process was not taken over")
        if left_locked and store.opening_note is None:
            found.append("nothing was said about the unexpected stop")
        kept = {entry.as_typed_text for entry in store.load("j1").readings} if store.jobs() else set()
        lost = [text for text in told if text not in kept]
        if lost:
            found.append(f"lost {len(lost)} of {len(told)}: {lost[-1]}")
        return found
    finally:
        store.close()


def _opened(path: Path) -> Store:
    store = Store.open(path)
    if not store.jobs():
        tap = Tap(tap_id="t1", terminals_text="S1-S2", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)
        core = Core(core_id="c1", number=1, class_text="5P20", taps=(tap,))
        ct = CT(ct_id="ct1", phase_text="L1", cores=(core,))
        position = Position(position_id="b1", name_text="Bay 1", cts=(ct,))
        store.create(Job(job_id="j1", header=Header(number_text="1042"), positions=(position,)), _act())
    return store


def _texts() -> list[str]:
    """One to three texts that never came before: a number and a mark behind it that no other has."""
    return [f"{random.uniform(1, 500):.3f} V {uuid.uuid4()}" for _ in range(random.randint(1, 3))]


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
