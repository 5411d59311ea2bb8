"""Every file call that changes something fails once, or from then on, while the program does one activity.

Each call of a round is let fail with an error of the disk, no room, or a disk that may only be read. What was
told before must be there, the store whole, every copy that counts too, and nothing but a sentence may come
out. The control is a program that does not look at what a failed save returns: it must be caught.
Needs Linux and gcc.
"""

from __future__ import annotations

import errno
import json
import random
import sys
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

from app.jobstore import Store, StoreProblem
from tests.faults.activities import (
    ACTIVITIES,
    STORE_NAME,
    Activity,
    Tell,
    fresh_texts,
    make_store,
    problems_of_store,
)
from tests.faults.failing import Disk, do_rounds, prepared, run_apart
from tests.one_core import act, reading

ERRORS = (errno.EIO, errno.ENOSPC, errno.EROFS)
SHORT_COUNT = 14
_ROUNDS = 2


def run(long: bool) -> dict[str, Any]:
    """The result: failing calls, those after which something was wrong, whether the control was seen."""
    return run_apart("io_error", long)


def look_away(folder: Path, tell: Tell) -> Iterator[None]:
    """The control: what a failed save returns is not looked at."""
    with closing(Store.open(folder / STORE_NAME)) as store:
        while True:
            (text,) = fresh_texts(most=1)
            with suppress(StoreProblem):
                store.append("j1", act(), readings=[reading(text)])
            tell(text)
            yield


CONTROL = Activity(name="look_away", prepare=make_store, rounds=look_away, problems=problems_of_store)


def failures(activity: Activity, disk: Disk, most: int | None) -> tuple[int, int]:
    """Cases, and cases after which something was wrong; at most so many, spread over all calls."""
    with prepared(activity) as fresh:
        place = fresh()
        disk.watch(place)
        broken_off = do_rounds(activity, place, lambda _: None, _ROUNDS)
        calls = disk.calls
        disk.watch(None)
        cases = [
            (number, error, sticky)
            for number in range(1, calls + 1)
            for error in ERRORS
            for sticky in (False, True)
        ]
        if most is not None:
            cases = random.Random(7).sample(cases, min(most, len(cases)))
        failed = int(bool(broken_off))
        for number, error, sticky in cases:
            place, told = fresh(), list[str]()
            disk.watch(place)
            disk.fail(number, error, sticky=sticky)
            broken_off = do_rounds(activity, place, told.append, _ROUNDS)
            disk.watch(None)
            problems = [*([broken_off] if broken_off else []), *activity.problems(place, told)]
            if problems:
                failed += 1
                if activity is not CONTROL:
                    kind = f"{errno.errorcode[error]}{' from then on' if sticky else ''}"
                    print(f"{activity.name}, call {number} of {calls}, {kind}: {problems}", file=sys.stderr)
    return len(cases), failed


def main() -> None:
    """Run with the library preloaded, and print the result."""
    most = None if "--long" in sys.argv else SHORT_COUNT
    disk = Disk()
    found = {one.name: failures(one, disk, most) for one in ACTIVITIES}
    result = {
        "name": "io_error",
        "cases": sum(cases for cases, _ in found.values()),
        "failed": sum(failed for _, failed in found.values()),
        "control_caught": failures(CONTROL, disk, most)[1] > 0,
        "by_activity": {name: failed for name, (_, failed) in found.items()},
    }
    print(json.dumps(result))


if __name__ == "__main__":
    main()
