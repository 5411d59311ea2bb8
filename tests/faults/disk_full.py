"""A disk that fills up while readings are keyed, jobs signed and files given out, at many free sizes.

Free are 0 to 256 KiB in steps, with and without the reserve beside the store. What was told before must be
there, the store must open and be read with nothing free at all, and with the reserve one more job can be
keyed and signed. The control gives no heed to a save that failed: it must be caught. Needs Linux and gcc.
"""

from __future__ import annotations

import json
import sys
from contextlib import closing
from pathlib import Path
from typing import Any, Final

from app.jobstore import Store, StoreProblem, space
from app.record.files import write_whole
from tests.faults.activities import STORE_NAME, Activity, kept_in, named, sign
from tests.faults.failing import SAID, Disk, do_rounds, prepared, run_apart
from tests.faults.io_error import CONTROL

KIB: Final = 1024
MOST_FREE: Final = 256 * KIB
STEP: Final = {False: 64 * KIB, True: 4 * KIB}
_ROUNDS: Final = 30
_FILLED_BY: Final = ("key", "key_at_desk", "attach_and_freeze", "give_out", "take_in", "copy")
_WITH_RESERVE: Final = ("key", "attach_and_freeze")


def run(long: bool) -> dict[str, Any]:
    """The result: full disks, those on which something was wrong, whether the control was seen."""
    return run_apart("disk_full", long)


def failures(activity: Activity, disk: Disk, step: int, *, reserve: bool) -> list[str]:
    """What was wrong, a line for each free size at which something was."""
    wrong = []
    with prepared(activity) as fresh:
        for room in range(0, MOST_FREE + 1, step):
            place, told = fresh(), list[str]()
            if reserve:
                space.hold_reserve(place / STORE_NAME)
            disk.watch(place)
            disk.fill(room)
            broken_off = do_rounds(activity, place, told.append, _ROUNDS)
            disk.fill(0)
            unread = _unread(place, told)
            disk.watch(None)
            problems = [*([broken_off] if broken_off else []), *unread, *activity.problems(place, told)]
            if problems:
                wrong.append(f"{activity.name}, {room // KIB} KiB free, reserve {reserve}: {problems}")
    return wrong


def _unread(place: Path, told: list[str]) -> list[str]:
    """What cannot be read with nothing free at all."""
    try:
        with closing(Store.open(place / STORE_NAME)) as store:
            readings = {text for text in told if " V " in text and not text.startswith("copied")}
            return [f"not read: {text}" for text in readings - kept_in(store)]
    except StoreProblem as problem:
        return [f"nothing can be read with nothing free: {problem.sentence}"]


def unsigned(disk: Disk) -> list[str]:
    """Why a job cannot be keyed and signed with nothing free but the reserve; empty where it can."""
    with prepared(named("sign")) as fresh:
        place, told = fresh(), list[str]()
        space.hold_reserve(place / STORE_NAME)
        disk.watch(place)
        disk.fill(0)
        try:
            next(sign(place, told.append))
        except SAID as problem:
            return [f"nothing could be signed with the reserve: {problem}"]
        finally:
            disk.watch(None)
        return named("sign").problems(place, told)


def written_to_a_full_device() -> list[str]:
    """Why a file given out to a full device was not refused; empty where it was, and the device is there."""
    device = Path("/dev/full")
    if not device.exists():
        return []
    try:
        write_whole(device, b"x" * 9000)
    except OSError:
        return [] if device.is_char_device() else ["the device was replaced by a file"]
    return ["a file was said to be written to a full device"]


def main() -> None:
    """Run with the library preloaded, and print the result."""
    step = STEP["--long" in sys.argv]
    disk = Disk()
    wrong = [*unsigned(disk), *written_to_a_full_device()]
    for name in _FILLED_BY:
        wrong += failures(named(name), disk, step, reserve=False)
    for name in _WITH_RESERVE:
        wrong += failures(named(name), disk, step, reserve=True)
    for line in wrong:
        print(line, file=sys.stderr)
    result = {
        "name": "disk_full",
        "cases": 2 + len(_FILLED_BY + _WITH_RESERVE) * (MOST_FREE // step + 1),
        "failed": len(wrong),
        "control_caught": bool(failures(CONTROL, disk, step, reserve=False)),
    }
    print(json.dumps(result))


if __name__ == "__main__":
    main()
