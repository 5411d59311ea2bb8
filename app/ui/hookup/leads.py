"""The landing list of a hook-up as a table model: ticked or not, from, to, what to mind."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.desk.landing import LeadLine
from app.ui.texts import text

Index = QModelIndex | QPersistentModelIndex
COLUMNS: Final = ("landed", "from", "to", "note")


class LeadsModel(QAbstractTableModel):
    """A line per lead; `initials` names who ticked it."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lines: tuple[LeadLine, ...] = ()
        self._ticked: tuple[str, ...] = ()

    def put(self, lines: tuple[LeadLine, ...], ticked: tuple[str, ...]) -> None:
        """Show another list, with who ticked each lead and when; empty where nobody did."""
        if len(lines) != len(self.lines):
            self.beginResetModel()
            self.lines, self._ticked = lines, ticked
            self.endResetModel()
            return
        self.lines, self._ticked = lines, ticked
        if lines:
            self.dataChanged.emit(self.index(0, 0), self.index(len(lines) - 1, len(COLUMNS) - 1))

    def first_open(self) -> int:
        """The first lead that is not ticked; the first of all where every one is."""
        return next((row for row, line in enumerate(self.lines) if line.landing is None), 0)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many leads there are."""
        return 0 if parent.isValid() else len(self.lines)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Ticked, from, to, note."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell."""
        if not index.isValid() or index.row() >= len(self.lines):
            return None
        lead, ticked = self.lines[index.row()].lead, self._ticked[index.row()]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            key = "hookup.said.on" if ticked else "hookup.said.off"
            return text(key, start=lead.from_text, end=lead.to_text, note=lead.note_text, who=ticked)
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        return {
            "landed": f"☑ {ticked}" if ticked else "☐",
            "from": lead.from_text,
            "to": lead.to_text,
            "note": lead.note_text,
        }[COLUMNS[index.column()]]

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads of the columns."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return text(f"hookup.head.{COLUMNS[section]}")
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        return None
