"""The window's way up: look for its libraries, paint, open the store. Only Qt is loaded before the paint."""

from __future__ import annotations

import ctypes
import os
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QCoreApplication, QEvent, QLibraryInfo, Qt, QTimer
from PySide6.QtGui import QGuiApplication, QKeyEvent
from PySide6.QtWidgets import QApplication

from app import reports, words
from app import settings as preferences
from app.ui import theme
from app.ui.shell import again, faults
from app.ui.texts import text
from app.ui.window import MainWindow

if TYPE_CHECKING:
    from app.jobstore import JobLine

# Format: with this name in the environment the moment at which the window takes keys is written to that file,
# in nanoseconds of the monotonic clock, and beside it when the list and the first verdict were drawn; the
# benchmark of the start reads them.
READY_FILE: Final = "CORELEAF_READY_FILE"
_PROBE_KEY: Final = " "


def run_window(painted: Callable[[], None], *, demo: Path | None = None, training: bool = False) -> int:
    """Open the window and stay until it is closed; `painted` is called once it stands on the screen.

    With `demo` the store lies in that folder and holds the sample job, which is opened; with `training` it
    lies in the folder of training. ImportError and OSError come out before anything of Qt could end the
    program.
    """
    check_libraries()
    folder = preferences.data_folder() if demo is None else demo
    if training:
        folder = preferences.training_folder(folder)
    settings = preferences.Settings.load(folder)
    if demo is not None:
        _fill_in(settings)
    elif training:
        _take_along(settings, preferences.Settings.load(preferences.data_folder()))
    _scale(settings)
    words.speak(settings.get("language"), comma=bool(settings.decimal_comma()))
    app = _application()
    theme.load_fonts()
    theme.apply(app, settings.get("theme"), settings.get("density"))
    window = MainWindow(settings)
    app.styleHints().colorSchemeChanged.connect(window.deeds.follow_system)
    again.fit(window)
    sys.excepthook = _hook(window)
    window.painted.connect(painted)
    window.painted.connect(lambda: _after_paint(window, folder, sample="line_bay" if demo else None))
    window.show()
    stopped, watch = reports.report_of_stop(folder), reports.watch_for_stop(folder)
    window.session.log.note("start" if stopped is None else "restored")
    try:
        return app.exec()
    finally:
        reports.end_watch(folder, watch)
        sys.excepthook = sys.__excepthook__
        # Qt: widgets that outlive the application end in a fault of the memory (6.11).
        window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def check_libraries() -> None:
    """Load what the display plugin needs: a missing library is an OSError with its name, not an abort."""
    if not sys.platform.startswith("linux") or os.environ.get("QT_QPA_PLATFORM", "xcb") not in ("xcb", ""):
        return
    if not os.environ.get("DISPLAY"):
        return
    folder = Path(QLibraryInfo.path(QLibraryInfo.LibraryPath.PluginsPath)) / "platforms"
    plugin = folder / "libqxcb.so"
    if plugin.exists():
        ctypes.CDLL(str(plugin))


def _application() -> QApplication:
    found = QApplication.instance()
    app = found if isinstance(found, QApplication) else QApplication(sys.argv[:1])
    app.setApplicationName("Coreleaf")
    # Qt: without it the window belongs to a program called after the file that was started (6.11).
    QGuiApplication.setDesktopFileName("coreleaf")
    return app


def _scale(settings: preferences.Settings) -> None:
    """Everything larger by one factor, on top of what the desktop asks for; Qt reads it once."""
    asked = settings.get("size_percent")
    if asked != "100" and QApplication.instance() is None:
        factor = float(os.environ.get("QT_SCALE_FACTOR") or 1.0) * int(asked) / 100
        os.environ["QT_SCALE_FACTOR"] = f"{factor:g}"


def _take_along(settings: preferences.Settings, real: preferences.Settings) -> None:
    """Training begins with the preferences of the real work, but with a number in the records of its own."""
    if not settings.complete():
        taken = (row.name for row in preferences.ROWS if row.name not in preferences.NOT_TAKEN_ALONG)
        settings.change(**{name: real.get(name) for name in taken})


def _fill_in(settings: preferences.Settings) -> None:
    """The sample asks nobody for a name: its people are invented, and so are these answers."""
    if not settings.complete():
        settings.change(
            organisation_text="Tarnbeck Test Services (invented)",
            organisation_address_text="Sample lane 1, Tarnbeck",
            organisation_mark_text="TTS",
            person_name_text="Sample tester",
        )


def _after_paint(window: MainWindow, folder: Path, *, sample: str | None) -> None:
    ready_file = os.environ.get(READY_FILE)
    if ready_file:
        _tell_ready(Path(ready_file))
        _tell_later(window, Path(ready_file))
    place = again.take_place(window.settings)
    window.session.opened.connect(lambda: _go_back(window, place))
    window.session.open_store(folder, sample=None if place else sample)


def _tell_later(window: MainWindow, path: Path) -> None:
    """Note beside it when the list of jobs stands on the screen, and the verdicts of the job in hand."""

    def note(ending: str) -> None:
        window.front.repaint()
        path.with_suffix(ending).write_text(str(time.monotonic_ns()), encoding="ascii")

    window.session.listed.connect(lambda _lines: QTimer.singleShot(0, lambda: note(".listed")))
    window.session.changed.connect(lambda _change: QTimer.singleShot(0, lambda: note(".verdict")))


def _go_back(window: MainWindow, place: dict[str, Any]) -> None:
    """To where the window was left, or where it stood when it was ended; a window that only looks stays."""
    if not place and window.session.writes:
        place = again.left_behind(window.settings)
    again.go_back_to(window, place)
    if window.settings.training and not place:
        window.bar.say(text("training.entered"))
        window.session.listed.connect(partial(_first_job, window), Qt.ConnectionType.SingleShotConnection)


def _first_job(window: MainWindow, lines: list[JobLine]) -> None:
    """Training in which nothing was begun offers the first job, step by step."""
    if not lines and not window.walk.progress.on:
        window.walk.resume()


def _tell_ready(path: Path) -> None:
    """Send one key through the field in focus, as a user would, and note when it was taken."""
    target = QApplication.focusWidget()
    if target is None:
        QTimer.singleShot(1, lambda: _tell_ready(path))
        return
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        key = QKeyEvent(kind, Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier, _PROBE_KEY)
        QCoreApplication.sendEvent(target, key)
    path.write_text(str(time.monotonic_ns()), encoding="ascii")


Hook = Callable[[type[BaseException], BaseException, TracebackType | None], None]


def _hook(window: MainWindow) -> Hook:
    """What is said when a slot fails: readings are on the disk already, the window stays."""

    def hook(_kind: type[BaseException], problem: BaseException, _trace: TracebackType | None) -> None:
        if isinstance(problem, KeyboardInterrupt):
            window.close()
            return
        faults.hook(window, problem)
        # Qt: the interpreter keeps the last exception, and by it the frames and widgets that it went through;
        # freed after their window, they end the process (6.11).
        for name in ("last_type", "last_value", "last_traceback"):
            if hasattr(sys, name):
                delattr(sys, name)

    return hook
