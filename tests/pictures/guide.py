"""The pictures of the user guide: `python -m tests.pictures.guide` makes them anew, by day at 1366 x 768."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TARGET = ROOT / "resources" / "pictures" / "guide"
LARGEST_BYTES = 3_000_000
# Scenes by the module that draws them; the order is that in which they follow each other.
OF_WINDOW = (
    "board", "excitation", "ratio", "insulation", "hand-in", "readings-pasted", "plate", "new-set", "jobs",
    "new-job", "preferences", "preview", "attached", "copies",
)  # fmt: skip
OF_SIGNING = ("my-key", "review-decide", "trail", "check-genuine")


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.pictures.guide", description=__doc__)
    asked.add_argument("--out", type=Path, default=TARGET)
    out: Path = asked.parse_args().out
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    os.environ["QT_SCALE_FACTOR"] = "1"
    with tempfile.TemporaryDirectory() as folder:
        drawn = Path(folder)
        _draw(drawn)
        out.mkdir(parents=True, exist_ok=True)
        size = sum(_keep(drawn / f"{name}-1366-day-100.png", out) for name in (*OF_WINDOW, *OF_SIGNING))
    sys.stdout.write(f"{out}: {size} bytes\n")
    return 0 if size < LARGEST_BYTES else 1


def _draw(out: Path) -> None:
    from tests.pictures import signing
    from tests.pictures.window import SCENES, opened_stage

    with tempfile.TemporaryDirectory() as folder, opened_stage(Path(folder), "day", 1366, 768) as stage:
        stage.out, stage.suffix = out, "1366-day-100"
        for name in OF_WINDOW:
            SCENES[name](stage)
            stage.shoot(name)
    signing.draw(out, "day", 1, 1366, "")


def _keep(path: Path, out: Path) -> int:
    from PySide6.QtGui import QImage

    from tests.pictures.readme import few_colors

    target = out / f"{path.name.removesuffix('-1366-day-100.png')}.png"
    few_colors(QImage(str(path))).save(str(target), "PNG", 0)
    return target.stat().st_size


if __name__ == "__main__":
    sys.exit(main())
