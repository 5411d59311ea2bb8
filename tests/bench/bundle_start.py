"""First window of the bundle beside that of a run from the source: cold processes, in turns, drawn offscreen.

From the start of the process to the moment at which a key sent to the painted window was taken. The bundle is
the one that `python -m tests.bundle` built; it is built now where there is none.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

from tests.bundle import build, smoke

NAMES = ("bundle_start",)


def run(short: bool = False) -> list[dict[str, object]]:
    """Median of cold starts of the bundle over that of the source."""
    count = 5 if short else 15
    exe = build.folder_in(build.OUT) / "coreleaf"
    if not exe.exists():
        build.build(build.OUT)
    bundled: list[float] = []
    source: list[float] = []
    with tempfile.TemporaryDirectory() as folder:
        room = Path(folder)
        smoke.fill_in(room)
        for _ in range(count + 1):
            source.append(smoke.start_of_window_ms([sys.executable, "-m", "app"], room, cwd=build.ROOT))
            bundled.append(smoke.start_of_window_ms([str(exe)], room))
    # The first pair warms the cache of the disk.
    value, reference = statistics.median(bundled[1:]), statistics.median(source[1:])
    result = {"name": "bundle_start", "value": value, "unit": "ms", "reference": reference}
    return [{**result, "ratio": value / reference, "runs": count}]
