"""The trail: everything that was done to the job, to a core or in one field; typing cuts it down."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QVBoxLayout, QWidget

from app.desk import Address, Change
from app.ui import theme
from app.ui.models.trail import COLUMNS, TrailModel, cells_of
from app.ui.pages.jobs import SearchField
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.shell.tab_button import TabButton
from app.ui.shell.titles import ct_words, place_of
from app.ui.texts import text
from app.words import in_line, quantity, retold

if TYPE_CHECKING:
    from app.desk.trail import TrailLine
    from app.ui.window import MainWindow

SCOPES: Final = ("job", "core", "field")
_WIDTHS: Final = {
    "when": 240, "who": 130, "what": 150, "where": 320, "from": 120, "to": 240, "device": 120,
}  # fmt: skip
_NARROW: Final = 1000
_NARROW_WIDTHS: Final = {"when": 172, "what": 120, "to": 140}


class TrailPage(QWidget):
    """Scopes on top, the acts in the middle, the act in hand in full at the foot."""

    page_id = "trail"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.scope = "job"
        self.address: Address | None = None
        self.model = TrailModel(self)
        self.table = RuledTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(text("trail.heading"))
        self.search = SearchField()
        self.search.setAccessibleName(text("trail.search"))
        self.search.setPlaceholderText(text("trail.search"))
        self.search.setFixedHeight(46)
        self.count, self.whole = Line(role="second"), Words(role="finding")
        self.tabs = {scope: TabButton("", is_open=scope == "job") for scope in SCOPES}
        self._lay_out()
        self._connect()

    def show_change(self, _change: Change) -> None:
        """Something was done: look again."""
        if self.isVisible():
            self.look()

    def first_focus(self) -> None:
        """Letters typed at once search."""
        if self.address is None and self.scope == "field":
            self.scope = "job"
        self.look()
        self.search.setFocus()

    def parts(self) -> list[Part]:
        """Search, scopes, acts."""
        return [
            Part(self.search, self.search.setFocus),
            Part(self._tabs_box, self.tabs["job"].setFocus),
            Part(self.table, self.table.setFocus),
        ]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def show_scope(self, scope: str) -> None:
        """Whole job, the core in hand, or the field that was in hand."""
        self.scope = scope
        self.look()

    def look(self) -> None:
        """Read the trail again."""
        session, core_id, address = self._window.session, self._window.place[0], self.address
        job_id, scope = session.job_id, self.scope
        self._tell_tabs()
        if job_id is None:
            return
        session.fetch(
            lambda desk: desk.trail(
                job_id,
                core_id=core_id if scope == "core" else None,
                address=address if scope == "field" else None,
            ),
            done=self._put,
        )

    def _put(self, lines: tuple[TrailLine, ...]) -> None:
        self.model.put(lines)
        self._take(0)
        self._tell()

    def _tell_tabs(self) -> None:
        view = self._window.session.view
        place = place_of(view, self._window.place[0]) if view is not None else None
        core = ""
        if place is not None:
            core = f"{ct_words(place.position, place.ct)}, {in_line(text('title.core'))} {place.core.number}"
        words = {"job": text("trail.job"), "core": core, "field": self._field_words()}
        for scope, tab in self.tabs.items():
            tab.show_words(words[scope])
            tab.setVisible(bool(words[scope]))
            tab.set_open(scope == self.scope)

    def _field_words(self) -> str:
        if self.address is None:
            return ""
        return text("trail.field", name=quantity(self.address.quantity_id).name)

    def _search(self, letters: str) -> None:
        self.model.search(letters)
        self._take(0)
        self._tell()

    def _tell(self) -> None:
        shown = self.model.rowCount()
        self.count.set_text(text("jobs.count", shown=shown, all=self.model.act_count))
        line = self.model.line(self.table.currentIndex().row())
        self.whole.setText(_whole(line) if line is not None else text("trail.nothing"))

    def _move(self, step: int) -> None:
        self._take(self.table.currentIndex().row() + step)

    def _take(self, row: int) -> None:
        last = self.model.rowCount() - 1
        if last >= 0:
            self.table.setCurrentIndex(self.model.index(min(max(row, 0), last), 0))

    def _type_on(self, letters: str) -> None:
        self.search.setFocus()
        self.search.setText(self.search.text() + letters)

    def _connect(self) -> None:
        self.search.textChanged.connect(self._search)
        self.search.moved.connect(self._move)
        self.table.typed.connect(self._type_on)
        self.table.selectionModel().currentRowChanged.connect(lambda _new, _old: self._tell())
        for scope, tab in self.tabs.items():
            tab.clicked.connect(lambda _checked=False, scope=scope: self.show_scope(scope))

    def _lay_out(self) -> None:
        head = Panel("sheet")
        row = QHBoxLayout(head)
        row.setContentsMargins(16, 12, 16, 8)
        row.addWidget(Line(text("trail.heading"), role="heading", bold=True), 1)
        row.addWidget(self.count, 1)
        row.addWidget(self.search, 3)
        tabs = self._tabs_box = Panel("sheet")
        line = QHBoxLayout(tabs)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(0)
        for tab in self.tabs.values():
            line.addWidget(tab)
        line.addStretch(1)
        sheet = Panel("sheet")
        inner = QVBoxLayout(sheet)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.addWidget(self.table)
        foot = Panel("sheet", rules="top", weight=2)
        foot.setFixedHeight(theme.density().main_button + 6)
        words = QHBoxLayout(foot)
        words.setContentsMargins(16, 4, 16, 4)
        self.whole.setAlignment(Qt.AlignmentFlag.AlignVCenter)
        words.addWidget(self.whole)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (head, tabs):
            column.addWidget(widget)
        column.addWidget(sheet, 1)
        column.addWidget(foot)
        for place, name in enumerate(COLUMNS):
            self.table.setColumnWidth(place, _WIDTHS[name])
        self.table.horizontalHeader().setSectionResizeMode(
            COLUMNS.index("where"), QHeaderView.ResizeMode.Stretch
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen device, old value and place give way: the act in hand is told in full."""
        super().resizeEvent(event)
        narrow = self.width() < _NARROW
        for name in ("device", "from", "who"):
            self.table.setColumnHidden(COLUMNS.index(name), narrow)
        for name, wide in _NARROW_WIDTHS.items():
            self.table.setColumnWidth(COLUMNS.index(name), wide if narrow else _WIDTHS[name])


def _whole(line: TrailLine) -> str:
    """An act in one sentence."""
    when, who, what, where, old, new, _ = cells_of(line)
    went = text("trail.went", old=old, new=new) if old else new
    told = [when, who, what, where, went, retold(line.note_text)]
    return " · ".join(part for part in told if part)
