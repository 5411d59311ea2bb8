"""One core of the archive over the years, and its curve beside previous test, sisters and certificate."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QStackedWidget, QVBoxLayout, QWidget

from app.ui.models.filed import BesidesModel, GroupsModel, YearsModel
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.shell.tab_button import TabButton
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change
    from app.desk.archive.over_years import CoreOverYears
    from app.desk.archive.previous import PreviousTest
    from app.jobstore.archive import Archive, CoreHit, FiledLine
    from app.ui.plots.chart import Chart
    from app.ui.plots.excitation import ExcitationPlot
    from app.ui.window import MainWindow

_FACES: Final = ("years", "curves")
_YEAR_WIDTHS: Final = {"tested": 120, "number": 130, "value": 300, "step": 220, "answer": 190}
_BESIDE_WIDTHS: Final = {"kind": 140, "which": 160, "answer": 200}
_NARROW: Final = 1000


class YearsPage(QWidget):
    """Two faces: what is followed over the years, as chart and table; and the curves."""

    page_id = "years"
    came_from = "filed"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.face = "years"
        self.seen: CoreOverYears | None = None
        self._place: tuple[FiledLine, CoreHit] | None = None
        self.heading, self.notices = Line(role="heading", bold=True), Words(role="value", bold=True)
        self.groups, self.years, self.besides = GroupsModel(self), YearsModel(self), BesidesModel(self)
        self.group_table, self.year_table, self.beside_table = RuledTable(), RuledTable(), RuledTable()
        for table, model, name in (
            (self.group_table, self.groups, "years.followed"),
            (self.year_table, self.years, "years.tests"),
            (self.beside_table, self.besides, "beside.heading"),
        ):
            table.setModel(model)
            table.setAccessibleName(text(name))
        self.beside_words = Words(role="value")
        self.beside_table.selectionModel().currentRowChanged.connect(lambda *_: self._tell_beside())
        self.group_table.selectionModel().currentRowChanged.connect(lambda *_: self._show_group())
        self.group_table.chosen.connect(lambda _row: self.year_table.setFocus())
        self.chart: Chart | None = None
        self.plot: ExcitationPlot | None = None
        self.tabs = {face: TabButton(text(f"years.tab_{face}"), is_open=False) for face in _FACES}
        self.foot = Foot(
            "years.button",
            (
                ("print", "Alt+P", lambda: self._window.deeds.do("print_list")),
                ("record", "Alt+O", self.open_test),
                ("face", "Alt+C", self.turn),
                ("take", "Alt+T", self.take_previous),
            ),
        )
        self._lay_out()
        self.show_face("years")

    def show_core(self, line: FiledLine, core: CoreHit) -> None:
        """Ask for all that the archive knows of a core."""
        self._place, self.seen = (line, core), None
        self.heading.set_text(heading_words(core))
        self._say("")
        self._fill()
        self.notices.setText(text("years.fetching"))
        self.notices.show()

        def ask(archive: Archive) -> CoreOverYears:
            from app.desk.archive.over_years import core_over_years

            return core_over_years(archive, line, core)

        self._window.archive.ask("years", ask, done=self._put, failed=self._say)

    def show_change(self, _change: Change) -> None:
        """Another job may lie on the table now."""
        self._allow()

    def first_focus(self) -> None:
        """What is followed, or the curves beside."""
        table = self.group_table if self.face == "years" else self.beside_table
        table.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Tables of the face, buttons."""
        tables = (self.group_table, self.year_table) if self.face == "years" else (self.beside_table,)
        found = [Part(table, table.setFocus) for table in tables]
        return [*found, Part(self.foot, self.foot.buttons["face"].setFocus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    # Acts

    def turn(self) -> None:
        """From years to curves and back."""
        self.show_face(_FACES[1 - _FACES.index(self.face)])
        self.first_focus()

    def show_face(self, face: str) -> None:
        """Show one of the two faces."""
        self.face = face
        self._stack.setCurrentIndex(_FACES.index(face))
        for name, tab in self.tabs.items():
            tab.set_open(name == face)
        self.foot.buttons["face"].set_words(text(f"years.to_{_FACES[1 - _FACES.index(face)]}"))
        self._draw()
        self._allow()

    def open_test(self) -> None:
        """Open the record of the test in hand."""
        one = self.years.line(self.year_table.currentIndex().row())
        if one is not None and one.record_digest:
            self._window.page("filed").show_record(one.record_digest, one.number_text)
            self._window.show_page("filed")

    def take_previous(self) -> None:
        """Take this test into the job on the table, to compare the next one with."""
        if self._place is None:
            return
        line, core = self._place

        def ask(archive: Archive) -> PreviousTest:
            from app.desk.archive.previous import previous_test

            return previous_test(archive, line, core)

        self._window.archive.ask("previous", ask, done=self._take, failed=self._say)

    def _take(self, test: PreviousTest) -> None:
        self._window.session.do(lambda desk, job_id: desk.take_previous(job_id, test), refused=self._say)

    # What comes

    def _put(self, seen: CoreOverYears) -> None:
        self.seen = seen
        self._say(text("years.left_out", which=" · ".join(seen.left_out)) if seen.left_out else "")
        self._fill()

    def _fill(self) -> None:
        seen = self.seen
        groups = seen.groups if seen is not None else ()
        self.groups.show_lines([(name, seen.of_group(name)[-1]) for name in groups if seen is not None])
        self.besides.show_lines(seen.besides if seen is not None else ())
        if groups:
            self.group_table.setCurrentIndex(self.groups.index(0, 0))
        if seen is not None and seen.besides:
            self.beside_table.setCurrentIndex(self.besides.index(0, 0))
        self._show_group()
        self._allow()

    def _tell_beside(self) -> None:
        """The reason why a curve is not compared is longer than a cell."""
        one = self.besides.line(self.beside_table.currentIndex().row())
        said = "" if one is None else ": ".join(self.besides.words(one, name) for name in ("kind", "answer"))
        self.beside_words.setText(said[:1].upper() + said[1:])

    def _show_group(self) -> None:
        found = self.groups.line(self.group_table.currentIndex().row())
        lines = self.seen.of_group(found[0]) if self.seen is not None and found is not None else ()
        self.years.show_lines(lines)
        if lines:
            self.year_table.setCurrentIndex(self.years.index(len(lines) - 1, 0))
        self._draw()

    def _draw(self) -> None:
        """Only the face that is seen is drawn; its plot is made when it is first opened."""
        from app.ui.archive.drawing import curves_content, spoken, years_content

        if self.face == "years":
            found = self.groups.line(self.group_table.currentIndex().row())
            title = self.groups.words(found, "what") if found is not None else ""
            lines = self.seen.of_group(found[0]) if self.seen is not None and found is not None else ()
            content = years_content(title, lines)
            if self.chart is None:
                from app.ui.plots.chart import Chart

                self.chart = Chart(content)
                self._chart_box.insertWidget(0, self.chart)
                self.chart.setVisible(self.width() >= _NARROW)
            self.chart.show_content(content)
            self.chart.setAccessibleDescription(spoken(lines))
            return
        if self.plot is None:
            from app.ui.plots.excitation import ExcitationPlot

            self.plot = ExcitationPlot()
            self._plot_box.addWidget(self.plot)
        if self.seen is not None:
            self.plot.show_content(curves_content(self.seen))

    def _say(self, sentence: str) -> None:
        self.notices.setText(sentence)
        self.notices.setVisible(bool(sentence))

    def _allow(self) -> None:
        buttons = self.foot.buttons
        view = self._window.session.view
        no_job = "" if view is not None else text("years.no_job")
        locked = text("plate.locked") if view is not None and view.read_only_reason else ""
        buttons["take"].set_reason(text("years.waits") if self.seen is None else no_job or locked)
        buttons["record"].set_reason("" if self.face == "years" and self.seen else text("years.no_test"))

    # Laying out

    def _lay_out(self) -> None:
        head = Panel("sheet", rules="bottom")
        inner = QVBoxLayout(head)
        inner.setContentsMargins(16, 8, 16, 0)
        inner.setSpacing(4)
        inner.addWidget(self.heading)
        inner.addWidget(self.notices)
        row = QHBoxLayout()
        row.setSpacing(0)
        for face, tab in self.tabs.items():
            tab.clicked.connect(lambda _checked=False, face=face: self.show_face(face))
            row.addWidget(tab)
        row.addStretch(1)
        inner.addLayout(row)
        self._stack = QStackedWidget()
        self._stack.addWidget(self._years_face())
        self._stack.addWidget(self._curves_face())
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(self._stack, 1)
        column.addWidget(self.foot)

    def _years_face(self) -> QWidget:
        face, left, right = Panel("sheet"), Panel("sheet", rules="right"), Panel("sheet")
        boxes = [QVBoxLayout(panel) for panel in (left, right)]
        for box in boxes:
            box.setContentsMargins(0, 0, 1, 0)
            box.setSpacing(0)
        boxes[0].addWidget(self.group_table)
        self._chart_box = boxes[1]
        self._below = Panel("sheet", rules="top")
        self._years_box = QVBoxLayout(self._below)
        self._years_box.setContentsMargins(0, 1, 0, 0)
        self._years_box.addWidget(self.year_table)
        upper = QHBoxLayout()
        upper.setSpacing(0)
        upper.addWidget(left, 42)
        upper.addWidget(right, 58)
        column = QVBoxLayout(face)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(upper, 58)
        column.addWidget(self._below, 42)
        self.group_table.setColumnWidth(0, 340)
        self.group_table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.group_table.setColumnWidth(1, 190)
        for place, name in enumerate(self.years.columns):
            self.year_table.setColumnWidth(place, _YEAR_WIDTHS[name])
        self.year_table.horizontalHeader().setSectionResizeMode(
            self.years.columns.index("answer"), QHeaderView.ResizeMode.Stretch
        )
        return face

    def _curves_face(self) -> QWidget:
        face = Panel("sheet")
        row = QHBoxLayout(face)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        self._plot_box = QVBoxLayout()
        row.addLayout(self._plot_box, 60)
        right = Panel("sheet", rules="left")
        box = QVBoxLayout(right)
        box.setContentsMargins(1, 0, 0, 0)
        box.addWidget(self.beside_table, 1)
        self.beside_words.setMargin(14)
        box.addWidget(self.beside_words)
        row.addWidget(right, 40)
        for place, name in enumerate(self.besides.columns):
            self.beside_table.setColumnWidth(place, _BESIDE_WIDTHS[name])
        self.beside_table.horizontalHeader().setSectionResizeMode(
            self.besides.columns.index("answer"), QHeaderView.ResizeMode.Stretch
        )
        return face

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the chart gives way, the last step, and in the table number and ratio."""
        super().resizeEvent(event)
        narrow = self.width() < _NARROW
        self._arrange(narrow)
        self.group_table.setColumnHidden(1, narrow)
        for name in ("number", "step"):
            self.year_table.setColumnHidden(self.years.columns.index(name), narrow)

    def _arrange(self, narrow: bool) -> None:
        """Where the chart does not fit, the table of years takes its place."""
        if self.chart is not None:
            self.chart.setVisible(not narrow)
        (self._chart_box if narrow else self._years_box).addWidget(self.year_table)
        self._below.setVisible(not narrow)


def heading_words(core: CoreHit) -> str:
    """A core by serial, place and class."""
    place = " ".join(part for part in (core.position_text, core.phase_text) if part)
    return text(
        "years.heading", serial=core.serial_text or "–", place=place, number=core.core_number,
        plate=core.class_text,
    )  # fmt: skip
