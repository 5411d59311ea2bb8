"""A page over a desk with one invented job: one set of three phases with a PX core, limits on its plate."""

from __future__ import annotations

import dataclasses
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.desk import Desk
from app.jobstore import Store
from app.settings import Settings
from app.ui.worksheet.page import WorksheetPage
from app.ui.writer import Writer
from ctcore.job import Header, Tap

TAP = Tap(tap_id="full", terminals_text="1S1-1S2", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)


@pytest.fixture(scope="session")
def _store_file(tmp_path_factory) -> Path:
    """A store with the job in it, made once; every test works on a copy of its own."""
    folder = tmp_path_factory.mktemp("worksheet")
    store = Store.open(folder / "jobs.coreleaf")
    desk = Desk(store, _settings(folder))
    job_id = desk.new_job(Header(number_text="77")).view.job.job_id
    desk.add_position(job_id, "Line side", core_classes=("PX Ek 250 V Ie 30 mA Rct 3 ohm",))
    for ct in desk.view(job_id).job.positions[0].cts:
        cores = tuple(dataclasses.replace(core, taps=(TAP,)) for core in ct.cores)
        desk.set_ct(job_id, dataclasses.replace(ct, cores=cores))
    desk.settle(job_id)
    store.close()
    return folder / "jobs.coreleaf"


def _settings(folder: Path) -> Settings:
    settings = Settings.load(folder / "settings")
    settings.change(
        person_name_text="T. Adder", organisation_text="Rill and Bank Testing", decimal_mark="point"
    )
    return settings


@pytest.fixture
def desk(tmp_path: Path, _store_file: Path):
    shutil.copy(_store_file, tmp_path / "jobs.coreleaf")
    store = Store.open(tmp_path / "jobs.coreleaf")
    yield Desk(store, _settings(tmp_path))
    store.close()


@pytest.fixture
def job(desk: Desk):
    return desk.open_job(desk.jobs()[0].job_id).job


@pytest.fixture
def writer(qapp):
    made = Writer()
    yield made
    made.close()


@pytest.fixture
def cores(job) -> list[str]:
    return [core.core_id for ct in job.positions[0].cts for core in ct.cores]


@pytest.fixture
def acknowledged(job, monkeypatch):
    """The job with its cautions out of the way: nothing in these tests is about them."""
    monkeypatch.setattr("app.ui.worksheet.page.cautions_of", lambda _sheet: ())
    return job


@pytest.fixture
def page(qtbot, desk, writer, job):
    made = WorksheetPage(desk, writer)
    qtbot.addWidget(made)
    made.resize(1150, 660)
    with qtbot.waitExposed(made):
        made.show()
    return made


@pytest.fixture
def type_keys(qtbot, writer) -> Callable[[str], None]:
    """Types into whatever has the focus, "\\n" being Enter, and waits until all is saved."""

    def type_(keys: str) -> None:
        for sign in keys:
            widget = QApplication.focusWidget()
            if sign == "\n":
                qtbot.keyClick(widget, Qt.Key.Key_Enter, Qt.KeyboardModifier.KeypadModifier)
            else:
                qtbot.keyClicks(widget, sign)
            qtbot.waitUntil(lambda: not writer.busy)

    return type_


@pytest.fixture
def press(qtbot, writer):
    """Presses one key in whatever has the focus and waits until all is saved."""

    def press_(key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        qtbot.keyClick(QApplication.focusWidget(), key, modifier)
        qtbot.waitUntil(lambda: not writer.busy)

    return press_


@pytest.fixture
def excitation(page, desk, acknowledged, cores, press):
    """The page open on the excitation of the first core, its cautions read, the cursor in the first row."""
    page.open(desk.view(acknowledged.job_id), cores[0], "excitation")
    page.cursor_in_hand.focus_row(0)
    return page
