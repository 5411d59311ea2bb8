"""Who sits here now: one of those known at this computer, or another name."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHeaderView

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.people_here import PersonHere
    from app.ui.window import MainWindow

Index = QModelIndex | QPersistentModelIndex
_SHOWN = 5
_ROW = 44


class PeopleHereModel(QAbstractTableModel):
    """A row per person: the name, and whether there is a key here, told by its first groups."""

    def __init__(self, people: Sequence[PersonHere], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.people = tuple(people)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """People."""
        return 0 if parent.isValid() else len(self.people)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Name and key."""
        return 0 if parent.isValid() else 2

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words of a cell."""
        if not index.isValid() or role not in (
            Qt.ItemDataRole.DisplayRole,
            Qt.ItemDataRole.AccessibleTextRole,
        ):
            return None
        one = self.people[index.row()]
        if index.column() == 0:
            return text("who.here", name=one.name_text) if one.sits_here else one.name_text
        return text("who.key", key=one.fingerprint[:8]) if one.fingerprint else text("who.no_key")


class WhoDialog(DialogFrame):
    """Enter on a line, or on a typed name; what is keyed from then on stands under that name."""

    def __init__(self, window: MainWindow, people: Sequence[PersonHere]) -> None:
        super().__init__(
            text("who.heading"), main=text("who.main"), intro=text("who.intro"), width=640, parent=window
        )
        self._window = window
        self.table = RuledTable()
        self.table.setModel(PeopleHereModel(people, self))
        self.table.setAccessibleName(text("who.known"))
        self.table.horizontalHeader().hide()
        self.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.table.setColumnWidth(1, 210)
        self.table.setFixedHeight(_ROW * min(max(len(people), 1), _SHOWN) + 2)
        self.table.setVisible(bool(people))
        self.table.chosen.connect(self._choose)
        self.table.typed.connect(self._type)
        self.body.addWidget(self.table)
        self.name = self.add_field(text("who.another"))
        self.confirmed.connect(self._confirm_choice)
        if people:
            self.table.setCurrentIndex(self.table.model().index(0, 0))

    def showEvent(self, event: QShowEvent) -> None:
        """Arrows choose among those who are known; letters typed at once name another."""
        super().showEvent(event)
        if self.table.isVisible():
            self.table.setFocus()

    def _choose(self, row: int) -> None:
        model = self.table.model()
        assert isinstance(model, PeopleHereModel)
        if 0 <= row < len(model.people):
            one = model.people[row]
            self._sit(one.name_text, one.person_id)

    def _type(self, letters: str) -> None:
        self.name.line.setFocus()
        self.name.line.setText(self.name.line.text() + letters)
        self.name.line.setModified(True)

    def _confirm_choice(self) -> None:
        if self.name.value():
            self._sit(self.name.value())
        elif self.table.isVisible():
            self._choose(self.table.currentIndex().row())
        else:
            self.name.say(text("who.nobody"))

    def _sit(self, name_text: str, person_id: str = "") -> None:
        from app.desk.people_here import sit_down

        self._window.session.fetch(
            lambda desk: sit_down(desk, name_text, person_id),
            refused=self.name.say,
            done=lambda _number: self._seated(name_text),
        )

    def _seated(self, name_text: str) -> None:
        self.accept()
        self._window.somebody_else_sits_here()
        self._window.bar.note(text("who.done", name=name_text))


def open_who(window: MainWindow) -> None:
    """Look who is known here, and ask."""
    from app.desk.people_here import people_here

    window.session.fetch(people_here, done=lambda found: WhoDialog(window, found).open())
