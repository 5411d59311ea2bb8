"""The deviations of a job: where, what was found, what is done about it, by whom, until when."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.ui.texts import text
from ctcore.job import DECISION_WORDS, Deviation, Job, places

Index = QModelIndex | QPersistentModelIndex
COLUMNS: Final = ("where", "found", "done", "owner", "due")


class DeviationsModel(QAbstractTableModel):
    """A line per deviation."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Deviation, ...] = ()
        self._where: dict[str, str] = {}

    def put(self, job: Job) -> None:
        """Show the deviations of a job."""
        self._where = {
            place.core.core_id: f"{place.position.name_text} {place.ct.phase_text} {place.core.number}"
            for place in places(job)
        }
        kept = job.deviations
        if len(kept) == len(self._rows):
            self._rows = kept
            if kept:
                self.dataChanged.emit(self.index(0, 0), self.index(len(kept) - 1, len(COLUMNS) - 1))
            return
        if self._rows:
            self.beginRemoveRows(QModelIndex(), 0, len(self._rows) - 1)
            self._rows = ()
            self.endRemoveRows()
        if kept:
            self.beginInsertRows(QModelIndex(), 0, len(kept) - 1)
            self._rows = kept
            self.endInsertRows()

    def deviation(self, row: int) -> Deviation | None:
        """The deviation of a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Where, found, done, owner, due."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell."""
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        words = self._words(self._rows[index.row()], COLUMNS[index.column()])
        if role == Qt.ItemDataRole.DisplayRole:
            return words
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{text(f'deviation.{COLUMNS[index.column()]}')}: {words}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads of the columns."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return text(f"deviation.{COLUMNS[section]}")
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        return None

    def _words(self, one: Deviation, column: str) -> str:
        if column == "where":
            return self._where.get(one.core_id, "")
        if column == "done":
            decided = DECISION_WORDS[one.decision] if one.decision else ""
            return one.disposition_text or decided or one.decision_text or text("deviation.open")
        return {"found": one.found_text, "owner": one.owner_text, "due": one.due_on or ""}[column]
