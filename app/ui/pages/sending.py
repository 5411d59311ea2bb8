"""The queue to the archive: what waits, what is archived, what was refused and why; try now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHeaderView, QVBoxLayout, QWidget

from app.ui.models.sending import SendingModel
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change
    from app.ui.shell.sender import SendingView
    from app.ui.window import MainWindow

_WIDTHS: Final = {"number": 190, "revision": 110, "state": 150, "when": 280}

# A screen of 768 lines at 200 %: what the page is for gives way to where things stand.
_LOW: Final = 420


class SendingPage(QWidget):
    """Everything that was issued here, the newest job first."""

    page_id = "sending"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.model = SendingModel(self)
        self.table = RuledTable()
        self.table.setAccessibleName(text("sending.heading"))
        self.table.setModel(self.model)
        self.table.chosen.connect(lambda _row: self.open_job())
        self.state, self.trouble = Words(role="value", bold=True), Words(role="value", bold=True)
        self.said = Words(role="value")
        self.foot = Foot("sending", (("try_now", "Alt+R", self.try_now), ("open", "Enter", self.open_job)))
        self._lay_out()
        self.table.selectionModel().currentChanged.connect(lambda *_: self._tell_line())
        window.sending.told.connect(self.show_view)
        window.sending.working.connect(self._show_working)
        self.show_view(window.sending.view)
        window.sending.look()

    def show_change(self, _change: Change) -> None:
        """What was issued is told by the sender."""

    def show_view(self, view: SendingView) -> None:
        """Put up where everything stands."""
        before = max(self.table.currentIndex().row(), 0)
        self.model.show_lines(view.lines)
        self.table.setCurrentIndex(self.model.index(before, 0))
        words = (view.words or text("sending.nothing")) if view.place_text else text("sending.no_place")
        tried = text("sending.tried", at=view.tried_text) if view.tried_text else ""
        self.state.setText(" ".join(part for part in (f"{words[:1].upper()}{words[1:]}.", tried) if part))
        self.trouble.setText(view.trouble_text)
        self.trouble.setVisible(bool(view.trouble_text))
        self.foot.buttons["open"].set_reason("" if view.lines else text("sending.nothing"))
        self.foot.buttons["try_now"].set_reason("" if view.place_text else text("sending.no_archive"))
        self._tell_line()

    def try_now(self) -> None:
        """Send at once what waits."""
        self._window.sending.send()

    def open_job(self) -> None:
        """Open the job in hand."""
        line = self.model.line(self.table.currentIndex().row())
        if line is not None:
            self._window.open_job(line.job_id)

    def first_focus(self) -> None:
        """The table."""
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Table, buttons."""
        return [
            Part(self.table, self.table.setFocus),
            Part(self.foot, self.foot.buttons["try_now"].setFocus),
        ]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _tell_line(self) -> None:
        """All that the archive said of the line in hand: the table may have cut it short."""
        line = self.model.line(self.table.currentIndex().row())
        self.said.setText(line.state_text if line is not None else "")
        self.said.setVisible(bool(self.said.text()))

    def _show_working(self, working: bool) -> None:
        self.foot.buttons["try_now"].set_reason(text("sending.working") if working else "")

    def _lay_out(self) -> None:
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        head = Panel("sheet")
        column = QVBoxLayout(head)
        column.setContentsMargins(16, 12, 16, 12)
        column.setSpacing(6)
        self.heading = Line(text("sending.heading"), role="heading", bold=True)
        column.addWidget(self.heading)
        self.intro = Words(text("sending.intro"))
        for words in (self.intro, self.state, self.trouble, self.said):
            column.addWidget(words)
        outer.addWidget(head)
        outer.addWidget(self.table, 1)
        outer.addWidget(self.foot)
        for column_no, name in enumerate(self.model.columns):
            self.table.setColumnWidth(column_no, _WIDTHS.get(name, 200))
        self.table.horizontalHeader().setSectionResizeMode(
            self.model.columns.index("said"), QHeaderView.ResizeMode.Stretch
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a small screen time and words give way; they stand above for the line in hand."""
        super().resizeEvent(event)
        for words in (self.heading, self.intro):
            words.setVisible(self.height() >= _LOW)
        for name, least in (("when", 1000), ("revision", 620)):
            self.table.setColumnHidden(self.model.columns.index(name), self.width() < least)
