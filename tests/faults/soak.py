"""A scripted technician keys readings in the window for a long day; the memory of the program must not grow.

The short form keys 400 readings and measures from the 200th on; the long form keys 2 000, measured from the
500th. More than 5 % fails, and so does a reading that the store lacks. The control holds on to memory on
purpose and has to be caught.
"""

from __future__ import annotations

import gc
import os
import tempfile
from pathlib import Path
from typing import Any

ALLOWED_GROWTH_RATIO = 1.05
CONTROL_COUNT = 60
_LEAK_KB = 600


def run(long: bool) -> dict[str, Any]:
    """Key by hand, once as it is and once with a leak on purpose."""
    count, from_count = (2000, 500) if long else (400, 200)
    with tempfile.TemporaryDirectory() as folder:
        growth, lost_count = technician(Path(folder), count, from_count)
    with tempfile.TemporaryDirectory() as folder:
        leaking, _ = technician(Path(folder), 2 * CONTROL_COUNT, CONTROL_COUNT, leak_kb=_LEAK_KB)
    return {
        "name": "soak",
        "cases": count,
        "failed": lost_count + int(growth > ALLOWED_GROWTH_RATIO),
        "control_caught": leaking > ALLOWED_GROWTH_RATIO,
        "growth_percent": round(100 * (growth - 1), 2),
    }


def technician(folder: Path, count: int, from_count: int, *, leak_kb: int = 0) -> tuple[float, int]:
    """Growth of the memory from the reading named to the last, and how many readings the store lacks."""
    from tests.pictures.window import opened_stage

    kept: list[bytes] = []
    start_kb, keyed = 0, 0
    with opened_stage(folder, "day", 1366, 768) as stage:
        before = _stored(stage)
        cores = [stage.core(number, phase) for number in (1, 2) for phase in ("L1", "L2", "L3")]
        while keyed < count:
            page = _at_the_test(stage, cores[keyed // 2 % len(cores)])
            for index in range(min(2, len(page.body.table.entry.fields))):
                page.cursor_in_hand.focus_row(index)
                _type(stage, page.body.table.entry.fields[index].edit, f"{2 + keyed / 10000:.4f}")
                keyed += 1
                kept.append(os.urandom(1024) * leak_kb)
                if keyed == from_count:
                    start_kb = _resident_kb()
        return _resident_kb() / start_kb, max(0, keyed - (_stored(stage) - before))


def _at_the_test(stage: Any, core_id: str) -> Any:
    """The resistance test of a core, its cautions read."""
    from PySide6.QtCore import Qt
    from PySide6.QtTest import QTest

    stage.window.go_to(core_id, "resistance")
    page = stage.window.page("worksheet").page
    while page.body.caution.current is not None:
        page.body.caution.setFocus()
        QTest.keyClick(page.body.caution, Qt.Key.Key_Return)
        _wait(stage)
    page.cursor_in_hand.take(page.sheet.rows[0].row)
    return page


def _type(stage: Any, target: Any, words: str) -> None:
    from PySide6.QtCore import Qt
    from PySide6.QtTest import QTest

    stage.window.activateWindow()
    target.setFocus()
    target.selectAll()
    QTest.keyClicks(target, words)
    QTest.keyClick(target, Qt.Key.Key_Return)
    _wait(stage)


def _wait(stage: Any) -> None:
    """Until it is on the disk and drawn."""
    from PySide6.QtCore import QEvent

    stage.app.processEvents()
    while stage.window.session.writer.busy:
        stage.app.processEvents()
    stage.app.processEvents()
    # Qt: outside of exec nothing that is marked for deletion goes by itself (6.11).
    stage.app.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def _stored(stage: Any) -> int:
    """Readings in the store, those that were corrected among them."""
    view = stage.window.session.desk.view(stage.window.session.job_id)
    rows = [row for takes in view.takes.values() for take in takes for row in (take.method, *take.rows)]
    return sum(len(cell.readings) for row in rows for cell in row.cells.values())


def _resident_kb() -> int:
    """Memory of this process. Source: proc(5), the file status, line VmRSS."""
    gc.collect()
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return int(next(line for line in lines if line.startswith("VmRSS")).split()[1])
