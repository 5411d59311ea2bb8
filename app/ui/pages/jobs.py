"""The list of jobs: type to find one, Enter to open it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QStackedLayout, QVBoxLayout, QWidget

from app.ui import theme
from app.ui.models.jobs import COLUMNS, JobsModel
from app.ui.shell.fields import PlainLine
from app.ui.shell.key_button import PlainButton, VerbButton
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.archive.sending import ArchiveLine
    from app.jobstore import JobLine

_WIDTHS: Final = {
    "number": 130,
    "title": 300,
    "site": 260,
    "cores": 70,
    "state": 190,
    "worst": 176,
    "changed": 170,
}
VERBS: Final = (("new_job", "Ctrl+N"), ("take_in", "Ctrl+O"), ("training", "Ctrl+T"), ("preview", "Ctrl+P"))


class SearchField(PlainLine):
    """The field that cuts the list down; arrows and Enter go to the list."""

    moved = Signal(int)
    entered = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Up and Down move in the list, Enter opens, Escape clears."""
        steps = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1, Qt.Key.Key_PageUp: -8, Qt.Key.Key_PageDown: 8}
        if event.key() in steps:
            self.moved.emit(steps[Qt.Key(event.key())])
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit()
        elif event.key() == Qt.Key.Key_Escape and self.text():
            self.clear()
        else:
            super().keyPressEvent(event)


class JobsPage(QWidget):
    """Number, title, site, state, worst verdict and last change of every job."""

    page_id = "jobs"
    open_asked = Signal(str)
    verb_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model = JobsModel(self)
        self.search = SearchField()
        self.search.setAccessibleName(text("jobs.search"))
        self.search.setPlaceholderText(text("jobs.search"))
        self.search.setFixedHeight(46)
        self.search.textChanged.connect(self._search)
        self.search.moved.connect(self._move)
        self.table = RuledTable()
        self.table.setAccessibleName(text("jobs.heading"))
        self.table.setModel(self.model)
        self.search.entered.connect(self.table.choose_current)
        self.table.chosen.connect(self._open)
        self.table.typed.connect(self._type_on)
        self.count = Line(role="second")
        self.empty = Words(role="body")
        self.empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.buttons: dict[str, VerbButton] = {}
        self._listed = False
        self._lay_out()
        self._columns()

    def show_lines(self, lines: Sequence[JobLine]) -> None:
        """Put the list up; the job in hand stays in hand."""
        before = self.model.line(self.table.currentIndex().row())
        self._listed = True
        self.model.put(lines)
        row = self.model.row_of(before.job_id) if before is not None else 0
        self._take(max(row, 0))
        self._tell()

    def show_sent(self, lines: Sequence[ArchiveLine]) -> None:
        """Say of each issued job where its last revision stands with the archive."""
        row = self.table.currentIndex().row()
        self.model.put_sent({line.job_id: text(f"jobs.{line.state}", on=line.day_text) for line in lines})
        self._take(row)

    def show_read_only(self, read_only: bool) -> None:
        """Where nothing can be written, no job can come in."""
        for verb, _ in VERBS:
            self.buttons[verb].set_reason(text("jobs.read_only") if read_only else "")

    def first_focus(self) -> None:
        """Letters typed at once search."""
        self.search.setFocus()

    def parts(self) -> list[Part]:
        """The parts that F6 goes through."""
        return [Part(part, part.setFocus) for part in (self.search, self.table, self.buttons["new_job"])]

    @property
    def job_in_hand(self) -> str | None:
        """The job of the line in hand."""
        line = self.model.line(self.table.currentIndex().row())
        return line.job_id if line is not None else None

    def go_to_search(self) -> None:
        """F3: go to the search field with its text chosen."""
        self.search.setFocus()
        self.search.selectAll()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        head = Panel("sheet")
        row = QHBoxLayout(head)
        row.setContentsMargins(16, 12, 16, 8)
        row.addWidget(Line(text("jobs.heading"), role="heading", bold=True), 1)
        row.addWidget(self.count, 2)
        row.addWidget(self.search, 3)
        column.addWidget(head)
        sheet = Panel("sheet")
        self._stack = QStackedLayout(sheet)
        self._stack.setContentsMargins(0, 0, 0, 0)
        self._stack.addWidget(self.table)
        self._stack.addWidget(self._nothing_here())
        column.addWidget(sheet, 1)
        column.addWidget(self._foot())

    def _nothing_here(self) -> QWidget:
        """What an empty list says, with the first job step by step beneath it."""
        place = QWidget()
        column = QVBoxLayout(place)
        column.setContentsMargins(16, 0, 16, 16)
        self.empty.setContentsMargins(0, 16, 0, 8)
        self.walk = PlainButton(text("jobs.walk"))
        self.walk.clicked.connect(lambda: self.verb_asked.emit("walk"))
        column.addWidget(self.empty)
        column.addWidget(self.walk, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        return place

    def _foot(self) -> QWidget:
        foot = Panel("sheet", rules="top", weight=2)
        foot.setFixedHeight(theme.density().main_button + 6)
        row = QHBoxLayout(foot)
        row.setContentsMargins(12, 4, 4, 2)
        row.setSpacing(8)
        row.addStretch(1)
        for verb, key in VERBS:
            row.addWidget(self._button(verb, key))
        row.addWidget(self._button("open", "Enter", main=True))
        self.buttons["open"].setMinimumWidth(238)
        return foot

    def _button(self, verb: str, key: str, *, main: bool = False) -> VerbButton:
        button = VerbButton(text(f"jobs.{verb}"), key, main=main)
        if verb == "open":
            button.clicked.connect(self.table.choose_current)
        else:
            button.clicked.connect(lambda: self.verb_asked.emit(verb))
        self.buttons[verb] = button
        return button

    def _columns(self) -> None:
        head = self.table.horizontalHeader()
        for column, name in enumerate(COLUMNS):
            self.table.setColumnWidth(column, _WIDTHS[name])
        head.setSectionResizeMode(COLUMNS.index("title"), QHeaderView.ResizeMode.Stretch)
        head.setSectionResizeMode(COLUMNS.index("site"), QHeaderView.ResizeMode.Stretch)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen site, cores and time of change give way."""
        super().resizeEvent(event)
        for name in ("site", "cores", "changed"):
            self.table.setColumnHidden(COLUMNS.index(name), self.width() < 900)
        for verb in ("training", "take_in"):
            self.buttons[verb].setVisible(self.width() >= 700)

    def _open(self, row: int) -> None:
        line = self.model.line(row)
        if line is not None:
            self.open_asked.emit(line.job_id)

    def _search(self, letters: str) -> None:
        self.model.search(letters)
        self._take(0)
        self._tell()

    def _type_on(self, letters: str) -> None:
        self.search.setFocus()
        self.search.setText(self.search.text() + letters)

    def _move(self, step: int) -> None:
        self._take(self.table.currentIndex().row() + step)

    def _take(self, row: int) -> None:
        last = self.model.rowCount() - 1
        index = self.model.index(min(max(row, 0), last), 0) if last >= 0 else QModelIndex()
        self.table.setCurrentIndex(index)

    def _tell(self) -> None:
        shown, everything = self.model.rowCount(), self.model.job_count
        self.count.set_text(text("jobs.count", shown=shown, all=everything) if everything else "")
        for verb in ("open", "preview"):
            self.buttons[verb].set_reason("" if shown else text("jobs.nothing_to_open"))
        self._stack.setCurrentIndex(0 if shown or not self._listed else 1)
        if everything and not shown:
            self.empty.setText(text("jobs.nothing_found", letters=self.search.text()))
        else:
            self.empty.setText(text("jobs.empty"))
        self.walk.setVisible(not everything)
