"""The copies of the store: when the last was checked, where they lie, and bringing one back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHeaderView, QVBoxLayout, QWidget

from app.ui.models.copies import CopiesModel
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change
    from app.desk.copies import CopiesView, Restored
    from app.ui.window import MainWindow

_WIDTHS: Final = {"when": 310, "device": 190}


class CopiesPage(QWidget):
    """What is kept elsewhere. It works where the store itself cannot be read, too."""

    page_id = "copies"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.model = CopiesModel(self)
        self.table = RuledTable()
        self.table.setAccessibleName(text("copies.heading"))
        self.table.setModel(self.model)
        self.table.chosen.connect(lambda _row: self.bring_back())
        self.last, self.away = Words(role="value", bold=True), Words(role="value", bold=True)
        self.trouble = Words(role="value", bold=True)
        self.foot = Foot("copies", (("make", "Alt+C", self.make), ("bring_back", "Enter", self.bring_back)))
        self._lay_out()
        window.copier.made.connect(self.show_view)
        window.copier.working.connect(self._show_working)
        window.copier.look()

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def show_view(self, view: CopiesView) -> None:
        """Put up what copies there are."""
        before = self.table.currentIndex().row()
        self.model.show_lines(view.lines)
        self.table.setCurrentIndex(self.model.index(max(before, 0), 0))
        self.last.setText(text("copies.last", at=view.last_text) if view.last_text else text("copies.none"))
        away = text("copies.away_last", ago=view.away_text) if view.away_text else text("copies.away_none")
        self.away.setText(f"{away} {text('copies.overdue')}" if view.away_text and view.overdue else away)
        self.trouble.setText(view.trouble_text)
        self.trouble.setVisible(bool(view.trouble_text))
        self.foot.buttons["bring_back"].set_reason("" if view.lines else text("copies.nothing"))

    def make(self) -> None:
        """Make a copy now where something was entered since the last one."""
        self._window.copier.copy()

    def bring_back(self) -> None:
        """Bring the copy in hand back to a file of its own, and show both side by side."""
        line = self.model.line(self.table.currentIndex().row())
        if line is None:
            return
        self._window.copier.do(
            self._window.works.watched("bring_back", lambda keeper: keeper.bring_back(line.path)),
            done=self._compare,
            failed=self._refuse,
        )

    def first_focus(self) -> None:
        """The table."""
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Table, buttons."""
        return [Part(self.table, self.table.setFocus), Part(self.foot, self.foot.buttons["make"].setFocus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _compare(self, path: Any) -> None:
        from app.desk.copies import compared

        if self._window.session.desk is None:
            self._window.copier.do(lambda _keeper: compared(None, path), done=self._show, failed=self._refuse)
        else:
            self._window.session.fetch(
                lambda desk: compared(desk.store, path), done=self._show, refused=self._refuse
            )

    def _show(self, found: Restored) -> None:
        from app.ui.dialogs.brought_back import BroughtBackDialog

        BroughtBackDialog(self._window, found).open()

    def _refuse(self, sentence: str) -> None:
        self.trouble.setText(sentence)
        self.trouble.show()

    def _show_working(self, working: bool) -> None:
        self.foot.buttons["make"].set_reason(text("copies.working") if working else "")

    def _lay_out(self) -> None:
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        head = Panel("sheet")
        column = QVBoxLayout(head)
        column.setContentsMargins(16, 12, 16, 12)
        column.setSpacing(6)
        column.addWidget(Line(text("copies.heading"), role="heading", bold=True))
        for words in (Words(text("copies.intro")), self.last, self.away, self.trouble):
            column.addWidget(words)
        self.trouble.hide()
        outer.addWidget(head)
        outer.addWidget(self.table, 1)
        outer.addWidget(self.foot)
        for column_no, name in enumerate(self.model.columns):
            self.table.setColumnWidth(column_no, _WIDTHS.get(name, 200))
        self.table.horizontalHeader().setSectionResizeMode(
            self.model.columns.index("where"), QHeaderView.ResizeMode.Stretch
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the folder gives way."""
        super().resizeEvent(event)
        self.table.setColumnHidden(self.model.columns.index("where"), self.width() < 620)
