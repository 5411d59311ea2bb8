"""A window over a store of its own, and what its tests do with it."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.desk import Desk
from app.jobstore import Store
from app.settings import Settings, training_folder
from app.ui.shell.fields import FormField
from app.ui.shell.session import STORE_NAME
from app.ui.window import MainWindow
from ctcore.job import Header, Instrument, Job

ANSWERS = {
    "organisation_text": "Tarnbeck Test Services",
    "organisation_address_text": "Mill Lane 4, Tarnbeck",
    "organisation_mark_text": "TTS",
    "person_name_text": "J. Velde",
}


class Hand:
    """A user with a keyboard in front of one window."""

    def __init__(self, qtbot, folder: Path, **answers: str) -> None:
        self.qtbot = qtbot
        self.folder = folder
        settings = Settings.load(folder)
        settings.change(**(answers or ANSWERS))
        self.window = MainWindow(settings)
        qtbot.addWidget(self.window)
        self.window.show()
        self.window.activateWindow()

    def open_store(self, sample: str | None = None) -> None:
        self.window.session.open_store(self.folder, sample=sample)
        self.wait(lambda: self.window.session.desk is not None)
        self.rest()

    def wait(self, condition: Callable[[], object]) -> None:
        self.qtbot.waitUntil(lambda: bool(condition()), timeout=20_000)

    def rest(self) -> None:
        """Until nothing is being written."""
        QApplication.processEvents()
        self.wait(lambda: not self.window.session.writer.busy)

    @property
    def focus(self) -> QWidget:
        """Where keys go. Without a window manager nobody activates what stands behind a closed dialog."""
        if QApplication.focusWidget() is None:
            (QApplication.activeModalWidget() or self.window).activateWindow()
            QApplication.processEvents()
        found = QApplication.focusWidget()
        assert found is not None
        return found

    def type(self, words: str) -> None:
        QTest.keyClicks(self.focus, words)
        self.rest()

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        QTest.keyClick(self.focus, key, modifier)
        self.rest()

    def enter(self, *words: str) -> None:
        """Type each text and press Enter after it."""
        for word in words:
            self.type(word)
            self.press(Qt.Key.Key_Return)

    def control(self, key: Qt.Key) -> None:
        self.press(key, Qt.KeyboardModifier.ControlModifier)

    def close(self) -> None:
        self.window.leaving.answered = True
        self.window.close()


class OpenHand(Hand):
    """A user whose window shows a small invented job: three phases, a PX core each, and one ammeter."""

    def __init__(self, qtbot, folder: Path) -> None:
        person_id, store = _made_once(Settings.load(folder).training)
        super().__init__(qtbot, folder, **ANSWERS, person_id=person_id)
        (folder / STORE_NAME).write_bytes(store)
        self.open_store()
        self.press(Qt.Key.Key_Return)
        self.wait(lambda: self.window.session.view is not None and self.window.page_id == "worksheet")

    @property
    def job(self) -> Job:
        view = self.window.session.view
        assert view is not None
        return view.job

    def answer(self, field: FormField, words: str) -> None:
        """Go to a field by touch, type, and leave it by Enter."""
        QTest.mouseClick(field.line, Qt.MouseButton.LeftButton)
        self.window.activateWindow()
        field.line.selectAll()
        self.type(words)
        self.press(Qt.Key.Key_Return)


@cache
def _made_once(training: bool) -> tuple[str, bytes]:
    """Who made the small job, and the store that it is in; every window takes a copy."""
    with TemporaryDirectory() as name:
        folder = training_folder(Path(name)) if training else Path(name)
        Settings.load(folder).change(**ANSWERS)
        make_job(folder)
        return str(Settings.load(folder).get("person_id")), (folder / STORE_NAME).read_bytes()


def make_job(folder: Path) -> str:
    """A store in `folder` with the small job in it."""
    store = Store.open(folder / STORE_NAME)
    desk = Desk(store, Settings.load(folder))
    job_id = desk.new_job(
        Header(number_text="J-77", title_text="Line bay", site_text="Tarnbeck")
    ).view.job.job_id
    desk.add_position(job_id, "S1 line", core_classes=("PX Ek 250 V Ie 30 mA Rct 3 ohm",))
    ammeter = Instrument(instrument_id="a1", name_text="Ammeter 4", due_on="2020-01-31")
    desk.set_instrument(job_id, ammeter)
    desk.close_job(job_id)
    store.close()
    return job_id
