"""Build the bundle, start it, and say how large it is: `python -m tests.bundle [--out DIR] [--no-pack]`.

Ends with 0 where it runs from its start to a sheet, a verified pack and a painted window, and keeps its size.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from tests.bundle import build, smoke


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.bundle", description=__doc__)
    asked.add_argument("--out", type=Path, default=build.OUT, metavar="DIR")
    asked.add_argument("--no-pack", action="store_true", help="leave out the packing, which takes minutes")
    args = asked.parse_args()
    folder = build.build(args.out.resolve())
    print(f"built: {folder}, {build.size_mb(folder):.0f} MB")
    with tempfile.TemporaryDirectory(prefix="coreleaf-bundle-") as room:
        try:
            for line in smoke.try_out(folder, Path(room)):
                print(line, flush=True)
        except smoke.NotRight as problem:
            print(f"not right: {problem}", file=sys.stderr)
            return 1
    if args.no_pack:
        return 0
    packed = build.pack(folder)
    packed_mb = packed.stat().st_size / 1e6
    print(f"packed: {packed}, {packed_mb:.1f} MB; at most {build.LARGEST_MB:.0f} MB")
    return 0 if packed_mb <= build.LARGEST_MB else 1


if __name__ == "__main__":
    sys.exit(main())
