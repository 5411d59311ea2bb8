"""The window on a display and a bus of its own, walked by another process; what it was told, as JSON.

`python -m tests.outside.spoken_window FILE`, started by the test inside a session of its own.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path
from typing import Any

from PySide6.QtCore import QEventLoop, QProcess, QTimer
from PySide6.QtTest import QTest

from app.ui.window import PAGES
from tests.pictures.window import SCENES, Stage, opened_stage

LISTENER = Path(__file__).with_name("listening.py")
SENTENCE = "Nothing was lost."
PATIENCE_MS = 20_000
PAGE_IDS = ("jobs", *PAGES)
# Pages that say more when something lies on them.
FILLED = {
    "preview": "preview", "archive": "archive-found", "filed": "filed", "years": "years",
    "registers": "registers-limits",
}  # fmt: skip
DIALOGS = (
    "new-job", "new-set", "take-in", "samples", "preferences", "find", "hand-in", "field-forms", "set-limits",
    "archive-checked",
)  # fmt: skip


class Listener:
    """The process that walks; while it is asked the window goes on with its events, which it lives by."""

    def __init__(self) -> None:
        self._process = QProcess()
        self._process.setProcessChannelMode(QProcess.ProcessChannelMode.ForwardedErrorChannel)
        self._process.start("/usr/bin/python3", [str(LISTENER)])

    def ask(self, word: str) -> Any:
        waiting = QEventLoop()
        self._process.readyReadStandardOutput.connect(waiting.quit)
        self._process.finished.connect(waiting.quit)
        QTimer.singleShot(PATIENCE_MS, waiting.quit)
        self._process.write(f"{word}\n".encode())
        while not self._process.canReadLine() and self._process.state() != QProcess.ProcessState.NotRunning:
            waiting.exec()
        return json.loads(self._process.readLine().data())

    def close(self) -> None:
        self._process.closeWriteChannel()
        self._process.waitForFinished(PATIENCE_MS)


def _walk(stage: Stage, listener: Listener) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for page_id in PAGE_IDS:
        if page_id in FILLED:
            SCENES[FILLED[page_id]](stage)
        else:
            stage.window.show_page(page_id)
        stage.rest()
        found[page_id] = listener.ask("walk")
    for name in DIALOGS:
        SCENES[name](stage)
        stage.rest()
        found[f"dialog {name}"] = listener.ask("walk")
        dialog = stage.app.activeModalWidget() or stage.app.activePopupWidget()
        if dialog is not None:
            dialog.close()
        stage.rest()
    return found


def _announced(stage: Stage, listener: Listener) -> list[str]:
    stage.window.go_to(stage.core(1), "excitation")
    stage.rest()
    listener.ask("heard")
    page = stage.window.front.page
    page.cursor_in_hand.focus_row(0)
    QTest.keyClicks(page.body.table.entry.fields[0].edit, "512")
    heard: list[str] = []
    stage.wait(lambda: heard.extend(listener.ask("heard")) or heard)
    stage.window.bar.say(SENTENCE)
    stage.wait(lambda: heard.extend(listener.ask("heard")) or SENTENCE in heard)
    page.body.table.entry.fields[0].edit.clear()
    stage.window.bar.clear()
    return heard


def main() -> int:
    with tempfile.TemporaryDirectory() as folder, opened_stage(Path(folder), "day", 1366, 768) as stage:
        listener = Listener()
        stage.window.go_to(stage.core(1), "excitation")
        stage.rest()
        try:
            told = {"announced": _announced(stage, listener), "pages": _walk(stage, listener)}
        finally:
            listener.close()
    Path(sys.argv[1]).write_text(json.dumps(told), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
