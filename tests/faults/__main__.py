"""Run the fault suites named, or all of them; `--long` takes the long form, `--json` prints a list.

A suite is a module of this folder with `run(long) -> result`, called as the module is.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

from tests.faults.running import run_suite

# Two of them run beside each other: a suite that kills or waits leaves the processor to the other.
AT_ONCE = 2
SUITES = (
    "clean_bays",
    "disk_full",
    "alterations",
    "fuzz_entry",
    "fuzz_job_file",
    "io_error",
    "kill",
    "merge",
    "network_cut",
    "power_cut",
    "record_flips",
    "sheet_flips",
    "soak",
    "store_flips",
)


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    asked.add_argument("names", nargs="*", metavar="NAME")
    asked.add_argument("--json", action="store_true")
    asked.add_argument("--long", action="store_true")
    args = asked.parse_args()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    unknown = [name for name in args.names if name not in SUITES]
    if unknown:
        asked.error(f"no suite is called {unknown[0]}; there are {', '.join(SUITES)}")
    names = args.names or SUITES
    with ProcessPoolExecutor(
        max_workers=min(AT_ONCE, len(names)), mp_context=get_context("spawn"), max_tasks_per_child=1
    ) as pool:
        results = list(pool.map(run_suite, names, [args.long] * len(names)))
    if args.json:
        print(json.dumps(results, indent=1))
    else:
        for result in results:
            caught = {True: "control caught", False: "CONTROL NOT CAUGHT", None: "no control"}[
                result["control_caught"]
            ]
            print(f"{result['name']:20} {result['cases']:9} cases  {result['failed']} failed  {caught}")
    return int(any(result["failed"] or result["control_caught"] is False for result in results))


if __name__ == "__main__":
    sys.exit(main())
