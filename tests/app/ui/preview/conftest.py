from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.app.ui.desk_of_window import OpenHand


class Reader(OpenHand):
    """A user who looks at the sheet of the small job."""

    @property
    def page(self):
        return self.window.page("preview")

    def look(self) -> None:
        self.control(Qt.Key.Key_P)
        self.settle()

    def answer_in(self, field, words: str) -> None:
        """Type into a field of a dialog."""
        field.line.selectAll()
        QTest.keyClicks(field.line, words)
        self.rest()

    def settle(self) -> None:
        """Until the sheet is there and drawn."""
        self.wait(lambda: self.page.behind.file is not None)
        self.rest()
        self.window.repaint()
        self.wait(lambda: not self.page.behind.thread_behind.busy)
        self.rest()


@pytest.fixture
def reader(qtbot, tmp_path):
    made = Reader(qtbot, tmp_path)
    made.look()
    yield made
    made.close()
