"""Cold start of the program until it is painted and takes keys, beside a bare window of the same libraries.

Both run as fresh processes, in turns, from the start of Python to the moment at which a key sent to the
painted window was taken. The bare window imports PySide6 and pyqtgraph and shows one empty plot.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

NAMES = ("cold_start",)
READY_FILE = "CORELEAF_READY_FILE"
_LONGEST_NS = 60_000_000_000

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
    """Median of cold processes of the program over that of the bare window."""
    count = 5 if short else 15
    own: list[float] = []
    bare: list[float] = []
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        _fill_in(home)
        for _ in range(count + 1):
            bare.append(_start([sys.executable, "-c", _BARE], Path(folder), home))
            own.append(_start([sys.executable, "-m", "app"], Path(folder), home))
    # The first pair warms the cache of the disk.
    value, reference = statistics.median(own[1:]), statistics.median(bare[1:])
    result = {"name": "cold_start", "value": value, "unit": "ms", "reference": reference}
    return [{**result, "ratio": value / reference, "runs": count}]


def _fill_in(home: Path) -> None:
    from app.settings import Settings

    Settings.load(home).change(organisation_text="Tarnbeck Test Services", person_name_text="J. Velde")


def _start(command: list[str], folder: Path, home: Path) -> float:
    ready = folder / "ready"
    ready.unlink(missing_ok=True)
    environment = {
        **os.environ,
        "QT_QPA_PLATFORM": "offscreen",
        # Qt draws offscreen without one; the start of the program asks for it.
        "DISPLAY": ":0",
        "CORELEAF_HOME": str(home),
        READY_FILE: str(ready),
    }
    begun_ns = time.monotonic_ns()
    process = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        while not (ready.exists() and ready.read_text(encoding="ascii")):
            if process.poll() is not None or time.monotonic_ns() - begun_ns > _LONGEST_NS:
                raise RuntimeError(f"{command[-1]} never came to its painted window")
            time.sleep(0.002)
        return (int(ready.read_text(encoding="ascii")) - begun_ns) / 1e6
    finally:
        process.terminate()
        process.wait(timeout=30)
