"""Pictures of the worksheet page, offscreen: `python -m tests.pictures.worksheet --out DIR [--only WORD]`.

Each scale runs in a process of its own, since Qt reads it once. The page is drawn at the size that the window
leaves it: 52 px less for the title block, and with a blank place for the sets.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Final

TITLE_PX: Final = 52
FRAME_PX: Final = 38
SIZES: Final = ((1366, 768), (1920, 1080))
SCALES: Final = ("1", "1.25", "2")
# name, core, test, keys typed at the end ("\n" is Enter, "~" another view), whether cautions count as read
CASES: Final = (
    ("excitation", "L3-core-1", "excitation", "520.3\n112.", True),
    ("excitation_start", "L2-core-2", "excitation", "", False),
    ("trouble", "L1-core-1", "excitation", "520.3\n3o.9\n53", True),
    ("ratio", "L1-core-2", "ratio", "", True),
    ("insulation", "L1-core-1", "insulation", "", True),
    ("resistance", "L2-core-1", "resistance", "", True),
    ("errors", "L1-core-2", "excitation", "~", True),
    ("turns", "L2-core-1", "resistance", "~", True),
    ("limits_insulation", "L2-core-1", "insulation", "~", True),
    ("errors_read", "L1-core-2", "ratio", "~", True),
    ("hookup", "L1-core-1", "excitation", "^", True),
    ("hookup_ratio", "L2-core-1", "ratio", "^ ", True),
    ("limits_ratio", "L1-core-2", "ratio", "~~", True),
)


def main() -> int:
    """Start one process per scale."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--out", type=Path, required=True)
    asked.add_argument("--only", default="")
    args = asked.parse_args()
    args.out.mkdir(parents=True, exist_ok=True)
    for scale in SCALES:
        surroundings = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "QT_SCALE_FACTOR": scale}
        program = "from tests.pictures.worksheet import draw; import sys; draw(*sys.argv[1:])"
        draw = [sys.executable, "-c", program]
        subprocess.run([*draw, str(args.out), args.only, scale], check=True, env=surroundings)
    return 0


def draw(out: str, only: str, scale: str) -> None:
    """Draw every case at every size, by day and by night."""
    from PySide6.QtWidgets import QApplication

    from app.desk import Desk
    from app.jobstore import Store
    from app.settings import Settings
    from app.ui import theme
    from app.ui.writer import Writer
    from samples import sample

    application = QApplication([])
    theme.load_fonts()
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(Path(folder) / "jobs.coreleaf")
        settings = Settings.load(Path(folder) / "settings")
        settings.change(person_name_text="M. Osier", organisation_text="Rill and Bank Testing")
        desk, writer = Desk(store, settings), Writer()
        view = desk.import_job(Path(str(sample("line_bay").file))).view
        for palette in ("day", "night"):
            theme.apply(application, palette)
            for wide, tall in SIZES:
                for case in CASES:
                    name = f"{case[0]}_{wide}x{tall}_{int(float(scale) * 100)}_{palette}.png"
                    if only in name:
                        size = (int(wide / float(scale)), int((tall - FRAME_PX) / float(scale)) - TITLE_PX)
                        _draw_case(desk, writer, view.job.job_id, case, size).save(str(Path(out) / name))
        writer.close()
        store.close()


def _draw_case(desk, writer, job_id: str, case, size: tuple[int, int]):
    from PySide6.QtWidgets import QApplication, QWidget

    from app.ui.worksheet.page import WorksheetPage

    _, core_id, procedure_id, keys, is_read = case
    narrow = size[0] < 900
    corner, left = (None, None) if narrow else (QWidget(), QWidget())
    page = WorksheetPage(desk, writer, corner=corner, left=left)
    page.resize(*size)
    if is_read:
        _read_cautions(desk, job_id, core_id, procedure_id)
    page.open(desk.view(job_id), core_id, procedure_id)
    page.show()
    _settle(writer)
    entered = 0
    if keys:
        page.cursor_in_hand.focus_row(0)
    for sign in keys:
        entered += sign == "\n"
        _type(QApplication.focusWidget(), sign)
        _settle(writer)
    picture = page.grab()
    for _ in range(entered):
        desk.undo(job_id)
    page.hide()
    page.deleteLater()
    _settle(writer)
    return picture


def _read_cautions(desk, job_id: str, core_id: str, procedure_id: str) -> None:
    from ctcore.procedures import procedure

    read = {(a.core_id, a.procedure_id, a.caution_id) for a in desk.view(job_id).job.acknowledgements}
    for caution_id in procedure(procedure_id).cautions:
        if (core_id, procedure_id, caution_id) not in read:
            desk.acknowledge(job_id, core_id, procedure_id, caution_id, "")


def _type(widget, sign: str) -> None:
    from PySide6.QtCore import Qt
    from PySide6.QtTest import QTest

    if sign == "^":
        QTest.keyClick(widget, Qt.Key.Key_F11)
    elif sign == "~":
        QTest.keyClick(widget, Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier)
    elif sign == "\n":
        QTest.keyClick(widget, Qt.Key.Key_Enter)
    else:
        QTest.keyClicks(widget, sign)


def _settle(writer) -> None:
    from PySide6.QtWidgets import QApplication

    for _ in range(6):
        QApplication.processEvents()
    while writer.busy:
        QApplication.processEvents()


if __name__ == "__main__":
    sys.exit(main())
