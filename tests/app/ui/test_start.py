from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QLibraryInfo, QTimer
from PySide6.QtWidgets import QApplication

from app.jobstore import Store
from app.settings import Settings
from app.ui import start
from app.ui.window import MainWindow
from tests.app.ui.desk_of_window import make_job


def _window() -> MainWindow:
    return next(one for one in QApplication.topLevelWidgets() if isinstance(one, MainWindow))


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("CORELEAF_HOME", str(tmp_path))
    Settings.load(tmp_path).change(organisation_text="Tarnbeck Test Services", person_name_text="J. Velde")
    return tmp_path


def _close_when(condition) -> QTimer:
    timer = QTimer(interval=5)

    def look() -> None:
        if condition():
            timer.stop()
            _window().close()

    timer.timeout.connect(look)
    timer.start()
    return timer


def test_painted_is_told_once_and_the_store_is_opened_after_it(home, qapp):
    told = []
    timer = _close_when(lambda: told and _window().session.desk is not None)
    assert start.run_window(lambda: told.append((home / start_store()).exists())) == 0
    assert told == [False]
    assert (home / start_store()).exists()
    assert not timer.isActive()


def test_the_demo_opens_the_sample_job(tmp_path, qapp):
    shown = []

    def open_at_the_worksheet() -> bool:
        window = _window()
        if window.page_id == "worksheet":
            shown.append(window.title.cell_text("job"))
        return bool(shown)

    timer = _close_when(open_at_the_worksheet)
    assert start.run_window(lambda: None, demo=tmp_path) == 0
    assert shown[0].startswith("SB-2026-014")
    assert not timer.isActive()


def test_a_fault_in_a_slot_leaves_the_window_and_a_report(home, qapp):
    said = []

    def after_the_fault() -> bool:
        said.append(_window().bar.sentence)
        return "fault" in said[-1]

    def fail() -> None:
        raise RuntimeError("nothing of the user's")

    QTimer.singleShot(100, fail)
    timer = _close_when(after_the_fault)
    assert start.run_window(lambda: None) == 0
    report = next((home / "reports").iterdir())
    assert "RuntimeError" in report.read_text(encoding="utf-8")
    assert "nothing of the user's" not in report.read_text(encoding="utf-8")
    assert said[-1].endswith(f"{report}.")
    assert sys.excepthook is sys.__excepthook__
    assert not timer.isActive()


def test_a_missing_library_is_an_error_with_its_name_before_qt_aborts(tmp_path, monkeypatch):
    platforms = tmp_path / "platforms"
    platforms.mkdir()
    (platforms / "libqxcb.so").write_bytes(b"no library")
    monkeypatch.delenv("QT_QPA_PLATFORM")
    monkeypatch.setenv("DISPLAY", ":77")
    monkeypatch.setattr(QLibraryInfo, "path", staticmethod(lambda _which: str(tmp_path)))
    with pytest.raises(OSError, match=r"libqxcb\.so"):
        start.check_libraries()


def test_closing_by_signal_ends_the_window_process(home):
    ready = home / "ready"
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", start.READY_FILE: str(ready)}
    code = (
        "import os, signal\n"
        "from PySide6.QtCore import QTimer\n"
        "from app.ui import start\n"
        "def painted():\n"
        "    QTimer.singleShot(300, lambda: os.kill(os.getpid(), signal.SIGTERM))\n"
        "start.run_window(painted)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], env=environment, timeout=60, check=False)
    assert done.returncode == -15
    assert int(Path(ready).read_text(encoding="ascii")) > 0


def start_store() -> str:
    from app.ui.shell.session import STORE_NAME

    return STORE_NAME


def test_a_run_that_was_killed_is_told_and_found_again_where_it_stood(home, qapp):
    job_id = make_job(home)
    place = {"job_id": job_id, "core_id": core_of(home, job_id), "procedure_id": "resistance"}
    (home / "profile").mkdir(exist_ok=True)
    (home / "profile" / "where.json").write_text(
        json.dumps(place | {"page_id": "worksheet"}), encoding="utf-8"
    )
    # A lock that nobody holds: the run before did not end by itself.
    (home / "store.sqlite.lock").write_text("{}", encoding="utf-8")
    stood, said = [], []

    def there() -> bool:
        window = _window()
        if window.place == (place["core_id"], "resistance") and not window.session.writer.busy:
            stood.append(window.page_id)
            said.append(window.bar.sentence)
        return bool(stood)

    timer = _close_when(there)
    assert start.run_window(lambda: None) == 0
    assert stood == ["worksheet"]
    assert said[0].startswith("Restored after an unexpected stop")
    assert not (home / "profile" / "where.json").exists()
    assert not timer.isActive()


def core_of(home, job_id) -> str:
    store = Store.open(home / "store.sqlite")
    core_id = store.load(job_id).positions[0].cts[0].cores[0].core_id
    store.close()
    return core_id
