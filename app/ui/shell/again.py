"""The window comes up anew at another size, at the place where it was left."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QCoreApplication, QRect
from PySide6.QtWidgets import QApplication

from app.display import AGAIN
from app.settings import Settings

if TYPE_CHECKING:
    from app.ui.window import MainWindow


def start_again(window: MainWindow) -> None:
    """Write where the window stands, close it, and end with the code that brings it up anew."""
    box = window.geometry()
    ratio = window.devicePixelRatioF()
    place = {
        "job_id": window.session.job_id or "",
        "core_id": window.place[0],
        "procedure_id": window.place[1],
        "page_id": window.page_id,
        # What the screen counts: the next window reckons in other logical pixels.
        "box": [round(side * ratio) for side in (box.x(), box.y(), box.width(), box.height())],
    }
    window.settings.change(place=json.dumps(place))
    # Qt: the last window that goes would end the program with a code of its own (6.11).
    QApplication.setQuitOnLastWindowClosed(False)
    window.close()
    QCoreApplication.exit(AGAIN)


def take_place(settings: Settings) -> dict[str, Any]:
    """Where the window was left, told once; empty where it was closed for good."""
    place = _read(settings)
    if settings.get("place"):
        settings.change(place="")
    return place


def go_back_to(window: MainWindow, place: dict[str, Any]) -> None:
    """Open the job that was on the table, at its core, test and page."""
    if not place.get("job_id"):
        return

    def arrive() -> None:
        window.session.changed.disconnect(arrive)
        core_id, page_id = str(place.get("core_id", "")), str(place.get("page_id", ""))
        if core_id and window.place[0]:
            window.go_to(core_id, str(place.get("procedure_id", "")))
        if page_id not in ("", "worksheet"):
            window.deeds.do(page_id)

    window.session.changed.connect(arrive)
    window.open_job(str(place["job_id"]))


def fit(window: MainWindow) -> None:
    """As large as it was left, and never larger than the screen."""
    screen = QApplication.primaryScreen().availableGeometry()
    box = _read(window.settings).get("box")
    if isinstance(box, list) and len(box) == 4:
        ratio = QApplication.primaryScreen().devicePixelRatio()
        x, y, wide, tall = (round(side / ratio) for side in box)
        window.setGeometry(QRect(x, y, wide, tall).intersected(screen))
    window.resize(window.size().boundedTo(screen.size()).expandedTo(window.minimumSize()))


def _read(settings: Settings) -> dict[str, Any]:
    try:
        found = json.loads(settings.get("place") or "{}")
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}
