"""The window comes up anew at the place where it was left: at another size, after a fault, after a kill."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QCoreApplication, QObject, QRect, QTimer
from PySide6.QtWidgets import QApplication

from app.display import AGAIN
from app.record.files import write_whole
from app.settings import Settings, profile_folder

if TYPE_CHECKING:
    from app.ui.window import MainWindow


PLACE_FILE: Final = "where.json"
_WRITE_AFTER_MS: Final = 1000


def start_again(window: MainWindow, code: int = AGAIN) -> None:
    """Write where the window stands, close it, and end with the code that brings it up anew."""
    if not window.leaving.may_come_anew(lambda: start_again(window, code)):
        return
    if code == AGAIN:
        window.settings.change(place=json.dumps(_place_of(window)))
    # Qt: the last window that goes would end the program with a code of its own (6.11).
    QApplication.setQuitOnLastWindowClosed(False)
    window.close()
    QCoreApplication.exit(code)


class PlaceKeeper(QObject):
    """Keeps where the window stands in a small file while the window stands: a kill leaves it behind."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._path = _file(window.settings)
        self._timer = QTimer(self, singleShot=True, interval=_WRITE_AFTER_MS)
        self._timer.timeout.connect(self.write)

    def note(self) -> None:
        """The window went somewhere; written when it rests."""
        if self._window.session.writes:
            self._timer.start()

    def write(self) -> None:
        """Write it now."""
        with suppress(OSError):
            self._path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(self._path, json.dumps(_place_of(self._window)).encode())

    def forget(self) -> None:
        """The window ends by itself."""
        self._timer.stop()
        if self._window.session.writes:
            with suppress(OSError):
                self._path.unlink(missing_ok=True)


def left_behind(settings: Settings) -> dict[str, Any]:
    """Where a window stood that did not end by itself; empty where the last one did."""
    try:
        return _read(_file(settings).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}


def _file(settings: Settings) -> Path:
    return profile_folder(settings.folder) / PLACE_FILE


def _place_of(window: MainWindow) -> dict[str, Any]:
    box = window.geometry()
    ratio = window.devicePixelRatioF()
    return {
        "job_id": window.session.job_id or "",
        "core_id": window.place[0],
        "procedure_id": window.place[1],
        "page_id": window.page_id,
        # What the screen counts: the next window reckons in other logical pixels.
        "box": [round(side * ratio) for side in (box.x(), box.y(), box.width(), box.height())],
    }


def take_place(settings: Settings) -> dict[str, Any]:
    """Where the window was left, told once; empty where it was closed for good."""
    place = _read(settings.get("place"))
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
    box = _read(window.settings.get("place")).get("box")
    if isinstance(box, list) and len(box) == 4:
        ratio = QApplication.primaryScreen().devicePixelRatio()
        x, y, wide, tall = (round(side / ratio) for side in box)
        window.setGeometry(QRect(x, y, wide, tall).intersected(screen))
    window.resize(window.size().boundedTo(screen.size()).expandedTo(window.minimumSize()))


def _read(words: str) -> dict[str, Any]:
    try:
        found = json.loads(words or "{}")
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}
