"""A block of 1 000 rows of two columns from the clipboard to its preview on the screen."""

from __future__ import annotations

import statistics
import time
from pathlib import Path
from typing import Any

NAMES = ("paste_1000x2",)
_ROWS = 1000


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median ms from the text to the painted preview, every cell parsed."""
    from PySide6.QtCore import QEvent
    from PySide6.QtWidgets import QApplication, QWidget

    from app.ui import theme
    from app.ui.dialogs.readings_in import ReadingsDialog, Target

    app = QApplication.instance() or QApplication([])
    theme.load_fonts()
    theme.apply(app)
    words = "U [V]\tI [mA]\n" + "".join(
        f"{1.0 + 0.37 * row:.2f}\t{0.5 + 0.021 * row:.3f}\n" for row in range(_ROWS)
    )
    columns = ("v_excitation_v", "i_excitation_a")
    target = Target(
        procedure_id="excitation", quantity_ids=columns, choices=columns,
        rows=tuple(str(row + 1) for row in range(_ROWS)), row_words={}, decimal_comma=None,
        folder=Path("nowhere"), instruments=(), read=lambda *_asked: None,
    )  # fmt: skip
    window = QWidget()
    window.show()
    runs = 5 if short else 20
    taken = []
    for _ in range(runs):
        started = time.perf_counter()
        dialog = ReadingsDialog(window, target, lambda *_kept: None, block=words)
        dialog.open()
        app.processEvents()
        taken.append((time.perf_counter() - started) * 1000.0)
        assert len(dialog.preview.entries()) == 2 * _ROWS
        dialog.reject()
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    window.close()
    window.deleteLater()
    app.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    value = statistics.median(taken)
    return [{"name": NAMES[0], "value": value, "unit": "ms", "reference": None, "ratio": None, "runs": runs}]
