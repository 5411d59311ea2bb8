"""A list of entries of a job as a table: a line per entry, a column per name."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar, Generic, TypeVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.ui.texts import text

Index = QModelIndex | QPersistentModelIndex
Line = TypeVar("Line")


class LinesModel(QAbstractTableModel, Generic[Line]):
    """A subclass names its columns and the words before their ids in the texts, and says `words`."""

    columns: ClassVar[tuple[str, ...]]
    heads: ClassVar[str]

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Line, ...] = ()

    def words(self, one: Line, column: str) -> str:
        """What an entry says in a column."""
        raise NotImplementedError

    def show_lines(self, lines: Iterable[Line]) -> None:
        """Show another list; one as long as before keeps its rows."""
        kept = tuple(lines)
        if len(kept) == len(self._rows):
            self._rows = kept
            if kept:
                self.dataChanged.emit(self.index(0, 0), self.index(len(kept) - 1, len(self.columns) - 1))
            return
        if self._rows:
            self.beginRemoveRows(QModelIndex(), 0, len(self._rows) - 1)
            self._rows = ()
            self.endRemoveRows()
        if kept:
            self.beginInsertRows(QModelIndex(), 0, len(kept) - 1)
            self._rows = kept
            self.endInsertRows()

    def line(self, row: int) -> Line | None:
        """The entry of a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """As many as are named."""
        return 0 if parent.isValid() else len(self.columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell; to a screen reader with its column."""
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        column = self.columns[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return self.words(self._rows[index.row()], column)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{text(f'{self.heads}.{column}')}: {self.words(self._rows[index.row()], column)}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads of the columns."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self.columns):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return text(f"{self.heads}.{self.columns[section]}")
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        return None
