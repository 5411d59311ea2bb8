"""A job of 1 200 cores: opened from the store, its board painted page by page, and the memory that takes."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

NAMES = ("board_frame", "open_1200_cores", "memory_mb")
_SIZE = (1366, 768)


def run(short: bool = False) -> list[dict[str, Any]]:
    """p95 of a painted board in ms, median seconds to open the job, MB of the process that shows it."""
    from tests.bench.job_of_1200 import make_store

    with tempfile.TemporaryDirectory() as folder:
        make_store(Path(folder))
        command = [sys.executable, "-m", "tests.bench.board_frame", folder, "short" if short else "long"]
        environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
        done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    found = json.loads(done.stdout.splitlines()[-1])
    units = {"board_frame": "ms", "open_1200_cores": "s", "memory_mb": "MB"}
    return [
        {"name": name, "value": found[name], "unit": units[name], "reference": None, "ratio": None,
         "runs": found["runs"][name]}
        for name in NAMES
    ]  # fmt: skip


def _measure(folder: Path, opens: int, frames: int) -> dict[str, Any]:
    """In a process of its own, so that the memory is the program's alone."""
    from PySide6.QtWidgets import QApplication

    from app.desk import Desk
    from app.jobstore import Store
    from app.settings import Settings
    from app.ui import theme
    from tests.bench.job_of_1200 import STORE_NAME

    app = QApplication([])
    theme.load_fonts()
    theme.apply(app)
    taken = []
    for _ in range(opens):
        store = Store.open(folder / STORE_NAME)
        desk = Desk(store, Settings.load(folder))
        started = time.perf_counter()
        view = desk.open_job("big")
        taken.append(time.perf_counter() - started)
        assert not view.stale_core_ids
        store.close()
    painted = _paint(app, folder, frames)
    return {
        "board_frame": statistics.quantiles(painted, n=20)[18] * 1000.0,
        "open_1200_cores": statistics.median(taken),
        "memory_mb": _memory_mb(),
        "runs": {"board_frame": len(painted), "open_1200_cores": opens, "memory_mb": 1},
    }


def _paint(app: Any, folder: Path, frames: int) -> list[float]:
    """Seconds from a key to the painted board, while arrows and pages go through the whole job."""
    from PySide6.QtCore import QEvent, Qt
    from PySide6.QtTest import QTest

    from app.settings import Settings
    from app.ui.window import MainWindow

    settings = Settings.load(folder)
    settings.change(organisation_text="Tarnbeck Test Services", person_name_text="J. Velde")
    window = MainWindow(settings)
    window.resize(*_SIZE)
    window.show()
    window.session.open_store(folder)
    _wait(app, lambda: window.session.desk is not None)
    window.open_job("big")
    _wait(app, lambda: window.session.view is not None and not window.session.writer.busy)
    window.deeds.board()
    _wait(app, lambda: not window.session.writer.busy)
    table, painted = window.front.table, []
    keys = [Qt.Key.Key_Down, Qt.Key.Key_Right, Qt.Key.Key_PageDown]
    for number in range(frames):
        if table.currentIndex().row() >= table.boards.rowCount() - 2:
            table.go_to_first()
        started = time.perf_counter()
        QTest.keyClick(table, keys[number % len(keys)])
        table.viewport().repaint()
        painted.append(time.perf_counter() - started)
        app.processEvents()
    window.close()
    window.deleteLater()
    app.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    return painted


def _wait(app: Any, condition: Any) -> None:
    end = time.monotonic() + 60.0
    while not condition():
        assert time.monotonic() < end, "the window does not get ready"
        app.processEvents()
        time.sleep(0.002)


def _memory_mb() -> float:
    """The most memory that this process held."""
    import resource

    held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return held / (1024.0 * 1024.0 if sys.platform == "darwin" else 1024.0)


if __name__ == "__main__":
    is_short = sys.argv[2] == "short"
    print(json.dumps(_measure(Path(sys.argv[1]), 3 if is_short else 7, 300 if is_short else 1500)))
