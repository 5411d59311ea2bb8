"""Run the benchmarks named, or all of them; `--json` prints a list, `--short` takes fewer runs.

A benchmark is a module of this folder with `NAMES` and `run(short) -> list of results`.
"""

from __future__ import annotations

import argparse
import importlib
import json
import os
import sys

MODULES = (
    "archive_intake",
    "archive_search",
    "board_frame",
    "cell_to_repaint",
    "cold_start",
    "commit_cell",
    "curve_three_knees",
    "judge_job_90",
    "judging",
    "key_presses",
    "paste_1000x2",
    "plot_paint",
    "sheet_15_cores",
    "sheet_one_core",
    "sign",
    "verify",
)
# Run where they are named and not with the others: they want what CI does not have.
ON_REQUEST = ("bundle_start", "sheet_vs_spreadsheet")


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    asked.add_argument("names", nargs="*", metavar="NAME")
    asked.add_argument("--json", action="store_true")
    asked.add_argument("--short", action="store_true")
    args = asked.parse_args()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    asked_for = MODULES + tuple(name for name in ON_REQUEST if name in args.names)
    modules = [importlib.import_module(f"tests.bench.{name}") for name in asked_for]
    # The name of a module stands for all that it measures.
    of_module = {module.__name__.rpartition(".")[2]: module.NAMES for module in modules}
    args.names = [one for name in args.names for one in of_module.get(name, (name,))]
    known = {name for module in modules for name in module.NAMES}
    unknown = [name for name in args.names if name not in known]
    if unknown:
        asked.error(f"no benchmark is called {unknown[0]}; there are {', '.join(sorted(known))}")
    results = [
        result
        for module in modules
        if not args.names or set(args.names) & set(module.NAMES)
        for result in module.run(short=args.short)
        if not args.names or result["name"] in args.names
    ]
    if args.json:
        print(json.dumps(results, indent=1))
        return 0
    for result in results:
        ratio = "" if result["ratio"] is None else f"  {result['ratio']:.2f} x {result['reference']:.3g}"
        print(f"{result['name']:24} {result['value']:10.3f} {result['unit']}{ratio}  ({result['runs']} runs)")
    return 0


if __name__ == "__main__":
    sys.exit(main())
