"""A window over a store of its own, and what its tests do with it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.settings import Settings
from app.ui.window import MainWindow

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
        """Where keys go. Without a window manager nobody activates the window behind a closed dialog."""
        if QApplication.focusWidget() is None:
            self.window.activateWindow()
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
        self.window.close()
