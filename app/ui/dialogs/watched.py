"""Which tests of which cores a witness watched."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen, QShowEvent

from app.ui import theme
from app.ui.dialogs.frame import DialogFrame
from app.ui.models.watched import WatchedModel
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text
from app.words import all_procedures
from ctcore.job import Person

if TYPE_CHECKING:
    from app.ui.window import MainWindow


_NAME_WIDTH: Final = 330


class WatchedTable(RuledTable):
    """Space says or unsays the cell in hand, Shift and Space its test on every core."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space is for the cell; the rest as in every table."""
        model, here = self.model(), self.currentIndex()
        if event.key() != Qt.Key.Key_Space or not here.isValid() or not isinstance(model, WatchedModel):
            super().keyPressEvent(event)
        elif event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            model.toggle_column(here.column())
        else:
            model.toggle(here.row(), here.column())

    def paintEvent(self, event: QPaintEvent) -> None:
        """The cell in hand has a frame of its own."""
        super().paintEvent(event)
        if self.hasFocus() and self.currentIndex().isValid():
            painter = QPainter(self.viewport())
            painter.setPen(QPen(theme.color("here"), 3))
            painter.drawRect(self.visualRect(self.currentIndex()).adjusted(2, 2, -3, -3))


class WatchedDialog(DialogFrame):
    """A line per core and a column per test; Enter keeps it."""

    def __init__(self, window: MainWindow, person: Person) -> None:
        super().__init__(
            text("watched.heading", name=person.name_text), main=text("watched.keep"),
            intro=text("watched.intro"), width=1100, parent=window,
        )  # fmt: skip
        self._window, self._person = window, person
        if person.witnessed:
            names = [test.short_name for test in all_procedures() if test.procedure_id in person.witnessed]
            self.say(text("watched.older", tests=", ".join(names)))
        view = window.session.view
        assert view is not None
        self.model = WatchedModel(view.job, person, self)
        self.table = WatchedTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(self.windowTitle())
        rows_high = 44 * (self.model.rowCount() + 1) + 4
        self.table.setMinimumHeight(min(rows_high, max(160, window.height() - 330)))
        self.table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        for column in range(self.model.columnCount()):
            self.table.setColumnWidth(column, 126 if column else _NAME_WIDTH)
        self.table.chosen.connect(lambda _row: self._confirm())
        self.body.addWidget(self.table)
        self.confirmed.connect(self._keep)

    def _keep(self) -> None:
        person_id, tests = self._person.person_id, self.model.tests()
        self._window.session.do(
            lambda desk, job_id: desk.set_watched(job_id, person_id, tests),
            refused=self.say,
            done=lambda _change: self.accept(),
        )

    def showEvent(self, event: QShowEvent) -> None:
        """The first core is in hand."""
        super().showEvent(event)
        self.table.setCurrentIndex(self.model.index(0, min(1, self.model.columnCount() - 1)))
        self.table.setFocus(Qt.FocusReason.TabFocusReason)
