"""The rows of a list of plates as they were understood; a row that is left out says why."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.exchange.plates import PlateField, PlateRow, PlatesPreview
from app.ui.texts import text
from app.words import retold

Index = QModelIndex | QPersistentModelIndex
_NOTHING: Final = PlatesPreview()


class PlatesModel(QAbstractTableModel):
    """Row number, the fields that columns are taken for, and what becomes of the row."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[PlateRow, ...] = ()
        self._fields: tuple[PlateField, ...] = ()

    def put(self, seen: PlatesPreview) -> None:
        """Show another block."""
        if self._rows:
            self.beginRemoveRows(QModelIndex(), 0, len(self._rows) - 1)
            self._rows = ()
            self.endRemoveRows()
        if self._fields:
            self.beginRemoveColumns(QModelIndex(), 0, len(self._fields) + 1)
            self._fields = ()
            self.endRemoveColumns()
        fields = tuple(column.field for column in seen.columns if column.field is not None)
        if fields and seen.rows:
            self.beginInsertColumns(QModelIndex(), 0, len(fields) + 1)
            self._fields = fields
            self.endInsertColumns()
            self.beginInsertRows(QModelIndex(), 0, len(seen.rows) - 1)
            self._rows = seen.rows
            self.endInsertRows()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Rows of the list."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Number, what becomes of it, then its fields."""
        return 0 if parent.isValid() or not self._fields else len(self._fields) + 2

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Text of a cell, with "!" where it is the one that is refused."""
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        words = self._words(self._rows[index.row()], index.column())
        if role == Qt.ItemDataRole.DisplayRole:
            return words
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{self.headerData(index.column(), Qt.Orientation.Horizontal)}: {words}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """What the columns were taken for."""
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        if section < 2:
            return text(("plates_in.row", "plates_in.reason")[section])
        return retold(self._fields[section - 2].words) if section - 2 < len(self._fields) else None

    def _words(self, row: PlateRow, column: int) -> str:
        if column == 0:
            return str(row.line)
        if column == 1:
            return retold(row.reason) or text("plates_in.taken")
        name = self._fields[column - 2].name
        return row.values.get(name, "") + ("  !" if name == row.bad_field else "")
