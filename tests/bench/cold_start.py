"""Cold start of the program beside a bare window of the same libraries, in turns, each a fresh process.

`cold_start` ends when a key sent to the painted window was taken, `cold_start_list` when the list of jobs is
drawn, `cold_start_verdict` when the worksheet of the sample job stands with its verdicts. The bare window
imports PySide6 and pyqtgraph, shows one empty plot and takes a key.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

NAMES = ("cold_start", "cold_start_list", "cold_start_verdict")
READY_FILE = "CORELEAF_READY_FILE"
_LONGEST_NS = 60_000_000_000
_ENDINGS = {"cold_start": "", "cold_start_list": ".listed", "cold_start_verdict": ".verdict"}
# A screen as large as that of a laptop; without it Qt draws offscreen on one of 800 x 800.
_SCREEN = '{"screens": [{"name": "laptop", "x": 0, "y": 0, "width": 1366, "height": 768, "logicalDpi": 96}]}'

_BARE = f"""
import os, time
from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QMainWindow
import pyqtgraph

app = QApplication([])


class Plot(pyqtgraph.PlotWidget):
    shown = False

    def paintEvent(self, event):
        super().paintEvent(event)
        if not self.shown:
            self.shown = True
            QTimer.singleShot(0, self.ready)

    def ready(self):
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            key = QKeyEvent(kind, Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier, " ")
            app.sendEvent(self, key)
        with open(os.environ["{READY_FILE}"], "w", encoding="ascii") as stream:
            stream.write(str(time.monotonic_ns()))


window = QMainWindow()
window.setCentralWidget(Plot())
window.resize(1366, 768)
window.show()
app.exec()
"""


def run(short: bool = False) -> list[dict[str, object]]:
    """Medians of cold processes of the program over that of the bare window."""
    count = 5 if short else 15
    times: dict[str, list[float]] = {name: [] for name in ("bare", *NAMES)}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _fill_in(folder / "home")
        (folder / "screen.json").write_text(_SCREEN, encoding="ascii")
        bare, own = [sys.executable, "-c", _BARE], [sys.executable, "-m", "app"]
        for _ in range(count + 1):
            times["bare"].append(_start(bare, folder, ("",))[0])
            keys, listed = _start(own, folder, ("", _ENDINGS["cold_start_list"]))
            times["cold_start"].append(keys)
            times["cold_start_list"].append(listed)
            demo = [*own, "demo", "--out", str(folder / "demo")]
            times["cold_start_verdict"].append(_start(demo, folder, (_ENDINGS["cold_start_verdict"],))[0])
    # The first of each warms the cache of the disk, and takes the sample job in.
    medians = {name: statistics.median(found[1:]) for name, found in times.items()}
    reference = medians["bare"]
    return [
        {"name": name, "value": medians[name], "unit": "ms", "reference": reference,
         "ratio": medians[name] / reference, "runs": count}
        for name in NAMES
    ]  # fmt: skip


def _fill_in(home: Path) -> None:
    """A store with a job in it, so that there is a list to fill."""
    from app.desk import Desk
    from app.jobstore import Store
    from app.settings import Settings
    from app.ui.shell.session import STORE_NAME, take_sample

    settings = Settings.load(home)
    settings.change(organisation_text="Tarnbeck Test Services", person_name_text="J. Velde")
    store = Store.open(home / STORE_NAME)
    take_sample(Desk(store, settings), "line_bay")
    store.close()


def _start(command: list[str], folder: Path, endings: tuple[str, ...]) -> list[float]:
    """Milliseconds from the start of the process to each of its moments."""
    ready = folder / "ready"
    marks = [ready.with_suffix(ending) if ending else ready for ending in endings]
    for path in folder.glob("ready*"):
        path.unlink()
    environment = {
        **{name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"},
        # Whoever installed the program has all of it compiled: here the first of each does that.
        "PYTHONPYCACHEPREFIX": str(folder / "compiled"),
        "QT_QPA_PLATFORM": f"offscreen:configfile={folder / 'screen.json'}",
        # Qt draws offscreen without one; the start of the program asks for it.
        "DISPLAY": ":0",
        "CORELEAF_HOME": str(folder / "home"),
        READY_FILE: str(ready),
    }
    begun_ns = time.monotonic_ns()
    process = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        while not all(mark.exists() and mark.read_text(encoding="ascii") for mark in marks):
            if process.poll() is not None or time.monotonic_ns() - begun_ns > _LONGEST_NS:
                raise RuntimeError(f"{command[-1]} never came to what is waited for")
            time.sleep(0.002)
        return [(int(mark.read_text(encoding="ascii")) - begun_ns) / 1e6 for mark in marks]
    finally:
        process.terminate()
        process.wait(timeout=30)
