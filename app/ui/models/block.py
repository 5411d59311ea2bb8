"""The cells of a block as it was understood; a refused cell carries "!" and its reason."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.exchange.columns import PastedColumn
from app.exchange.tsv import PastedRow, Preview
from app.ui.texts import text
from app.words import figures, quantity, retold

Index = QModelIndex | QPersistentModelIndex


class BlockModel(QAbstractTableModel):
    """The row of the worksheet that each line goes to, then its cells."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._columns: tuple[PastedColumn, ...] = ()
        self._rows: tuple[PastedRow, ...] = ()
        self._names: Mapping[str, str] = {}

    def put(self, seen: Preview, names: Mapping[str, str] = MappingProxyType({})) -> None:
        """Show another block, or the same one as it is understood now; `names` has the words of rows."""
        self.beginResetModel()
        self._names = names
        self._columns, self._rows = (seen.columns, seen.rows) if seen.rows else ((), ())
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Lines of the block."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Columns of the block, and one that names the row."""
        return 0 if parent.isValid() else len(self._columns) + bool(self._columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Text and reason of a cell."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if index.column() == 0:
            words = text("paste.no_row") if row.row is None else self._names.get(row.row, row.row)
            return words if role == Qt.ItemDataRole.DisplayRole else None
        cell = row.cells[index.column() - 1]
        if role == Qt.ItemDataRole.DisplayRole:
            return f"{cell.text}  ! {retold(cell.reason)}" if cell.refused else cell.text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            why = retold(cell.reason)
            return text("paste.refused_cell", cell=cell.text, reason=why) if cell.refused else cell.text
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """What each column was taken for, and by what."""
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        if section == 0:
            return text("paste.row")
        column = self._columns[section - 1]
        if column.quantity_id is None:
            return f"{column.heading_text or text('paste.unnamed')}\n{retold(column.reason)}"
        taken = quantity(column.quantity_id)
        words = ", ".join(filter(None, (taken.heading, figures.symbol(column.unit) if column.unit else "")))
        return f"{words}\n{retold(column.reason)}"
