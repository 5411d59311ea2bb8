"""Figures of the office: jobs by state, faults by kind, open deviations, instruments due. Plain tables."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QHeaderView, QVBoxLayout, QWidget

from app.ui.models import plain
from app.ui.models.plain import PlainModel
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.shell.scroll import Scroll, bring_into_view
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change, Desk
    from app.desk.archive.fleet import DueLine, OfArchive, StateCount
    from app.desk.registers import Registers
    from app.jobstore.archive import Archive
    from app.report.plain_tables import PlainTable
    from app.ui.window import MainWindow

_NAMES: Final = ("states", "due", "faults", "deviations")
_NARROW: Final = 1000
_LEAST_TALL: Final = 230
# The column that takes what the others leave.
_WIDE: Final = {"states": 3, "due": 2, "faults": 0, "deviations": 4}
_WIDTHS: Final = {
    "states": (180, 80, 80, 200),
    "due": (150, 120, 180, 134, 120),
    "faults": (240, 90, 80, 80, 80, 90),
    "deviations": (150, 130, 100, 120, 200),
}


class FleetPage(QWidget):
    """Four tables; the archive is asked behind the window, and its tables follow."""

    page_id = "fleet"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self._today = date.min
        self._of_archive: OfArchive | None = None
        self._registers: Registers | None = None
        self.states: list[StateCount] = []
        self.trouble, self.said = Words(role="value", bold=True), Line(role="second")
        self.models = {name: PlainModel(_empty(name), self) for name in _NAMES}
        self.tables: dict[str, RuledTable] = {}
        self.notes: dict[str, Words] = {}
        self._boxes: dict[str, Panel] = {}
        self.foot = Foot(
            "fleet.button",
            (
                ("copy", "Alt+C", self.copy),
                ("print", "Alt+P", lambda: self._window.deeds.do("print_list")),
                ("look", "Alt+A", self.look),
            ),
        )
        self._lay_out()

    def show_change(self, _change: Change) -> None:
        """Figures are those of the last look."""

    def first_focus(self) -> None:
        """Look again; the first table."""
        self.look()
        self.tables["states"].setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Each table, buttons."""
        found = [Part(self.tables[name], partial(self._go_to, name)) for name in _NAMES]
        return [*found, Part(self.foot, self.foot.buttons["look"].setFocus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def look(self) -> None:
        """Count what is here, and ask the archive where one is named."""
        self._say("")

        def ask(desk: Desk) -> tuple[date, list[StateCount], Registers]:
            return desk.today(), desk.state_counts(), desk.registers()

        self._window.session.fetch(ask, done=self._put_here, refused=self._say)

    def shown(self) -> list[PlainTable]:
        """The tables as they stand on the page."""
        return [self.models[name].table for name in _NAMES]

    def copy(self) -> None:
        """All tables as text into the clipboard."""
        QGuiApplication.clipboard().setText("\n\n".join(table.tabbed for table in self.shown()))
        self._window.bar.note(text("fleet.copied"))

    def printed(self) -> list[PlainTable]:
        """What is put on paper."""
        return self.shown()

    def printed_said(self) -> str:
        """Of what and when the figures are."""
        return self.said.text

    # What comes

    def _put_here(self, found: tuple[date, list[StateCount], Registers]) -> None:
        self._today, self.states, self._registers = found
        self._fill()
        if not self._window.archive.place_text:
            self._say(text("fleet.no_archive"))
            return
        today = self._today

        def ask(archive: Archive) -> OfArchive:
            from app.desk.archive.fleet import count_archive

            return count_archive(archive, today=today)

        self._window.archive.ask("fleet", ask, done=self._put_archive, failed=self._say)

    def _put_archive(self, found: OfArchive) -> None:
        self._of_archive = found
        self._fill()

    def _fill(self) -> None:
        day = self._today.isoformat()
        found = self._of_archive
        self.said.set_text(text("fleet.as_of", day=day))
        tables = {
            "states": plain.states_table(self.states),
            "due": plain.due_table(self._due()),
            "faults": plain.faults_table(found),
            "deviations": plain.deviations_table(found, day),
        }
        for name, table in tables.items():
            self.models[name].put(table)
            self.notes[name].setText(table.note_text)
            self.notes[name].setVisible(bool(table.note_text))
            if table.rows:
                self.tables[name].setCurrentIndex(self.models[name].index(0, 0))

    def _due(self) -> list[DueLine]:
        from app.desk.archive.fleet import due_lines
        from app.desk.registers import Registers

        found = self._of_archive.instruments if self._of_archive is not None else ()
        return due_lines(self._registers or Registers(), found, today=self._today)

    def _say(self, sentence: str) -> None:
        self.trouble.setText(sentence)
        self.trouble.setVisible(bool(sentence))

    def _go_to(self, name: str) -> None:
        self.tables[name].setFocus(Qt.FocusReason.OtherFocusReason)
        bring_into_view(self.tables[name])

    # Laying out

    def _lay_out(self) -> None:
        head = Panel("sheet", rules="bottom")
        inner = QVBoxLayout(head)
        inner.setContentsMargins(16, 10, 16, 8)
        row = QHBoxLayout()
        row.addWidget(Line(text("fleet.heading"), role="heading", bold=True), 1)
        row.addWidget(self.said, 1)
        inner.addLayout(row)
        inner.addWidget(self.trouble)
        self.trouble.hide()
        inside = QWidget()
        self._grid = QGridLayout(inside)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(0)
        for name in _NAMES:
            self._boxes[name] = self._box(name)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(Scroll(inside), 1)
        column.addWidget(self.foot)
        self._place(2)

    def _box(self, name: str) -> Panel:
        box = Panel("sheet", rules="bottom right")
        box.setMinimumHeight(_LEAST_TALL)
        inner = QVBoxLayout(box)
        inner.setContentsMargins(0, 8, 2, 1)
        inner.setSpacing(0)
        title = Line(text(f"fleet.{name}"), role="value", bold=True)
        line = QHBoxLayout()
        line.setContentsMargins(14, 0, 0, 2)
        line.addWidget(title)
        inner.addLayout(line)
        note = self.notes[name] = Words(role="value")
        note.setMargin(14)
        note.hide()
        inner.addWidget(note)
        table = self.tables[name] = RuledTable()
        table.setModel(self.models[name])
        table.setAccessibleName(text(f"fleet.{name}"))
        for place, wide in enumerate(_WIDTHS[name]):
            table.setColumnWidth(place, wide)
        table.horizontalHeader().setSectionResizeMode(_WIDE[name], QHeaderView.ResizeMode.Stretch)
        inner.addWidget(table, 1)
        return box

    def _place(self, abreast: int) -> None:
        for number, name in enumerate(_NAMES):
            self._grid.addWidget(self._boxes[name], number // abreast, number % abreast)
            self._grid.setRowStretch(number, 1 if number < len(_NAMES) / abreast else 0)
            self._grid.setColumnStretch(number, 1 if number < abreast else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the tables stand one under the other, and scroll."""
        super().resizeEvent(event)
        self._place(1 if self.width() < _NARROW else 2)


def _empty(name: str) -> PlainTable:
    made: dict[str, PlainTable] = {
        "states": plain.states_table(()),
        "due": plain.due_table(()),
        "faults": plain.faults_table(None),
        "deviations": plain.deviations_table(None, ""),
    }
    return made[name]
