"""Every screen as pictures, for people to look at: `python -m tests.pictures --out DIR`.

Day and night, 100 and 200 %, screens from 640 x 480 to 1920 x 1080; `--theme`, `--scale`, `--size` narrow it.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from pathlib import Path

# The window with its pages and dialogs, keys and signing, then the worksheet alone at its densities.
MODULES = (
    "tests.pictures.window",
    "tests.pictures.program",
    "tests.pictures.signing",
    "tests.pictures.worksheet",
)


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.pictures", description=__doc__)
    asked.add_argument("--out", type=Path, required=True)
    asked.add_argument("--theme", choices=("day", "night"))
    asked.add_argument("--scale", choices=("1", "2"))
    asked.add_argument("--size", choices=("1366", "1920", "800", "640"))
    args = asked.parse_args()
    narrowed = [f"--{name}={value}" for name in ("theme", "scale", "size") if (value := getattr(args, name))]
    for module in MODULES:
        wanted = [] if module == "tests.pictures.worksheet" else narrowed
        subprocess.run([sys.executable, "-m", module, "--out", str(args.out), *wanted], check=True)
    sys.stdout.write(f"{len(list(args.out.glob('*.png')))} pictures in {args.out}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
