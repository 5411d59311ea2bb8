"""The people whom the office enrolled, as a table model."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.office import EnrolledLine

Index = QModelIndex | QPersistentModelIndex
COLUMNS: Final = ("name", "enrolled", "standing")


class EnrolledModel(QAbstractTableModel):
    """A row per certificate that was given out."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[EnrolledLine, ...] = ()

    def put(self, rows: Sequence[EnrolledLine]) -> None:
        """Show another list."""
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()

    def line(self, row: int) -> EnrolledLine | None:
        """The certificate of a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Certificates."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Name, since when, whether it is in force."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words of a cell."""
        if not index.isValid() or not 0 <= index.row() < len(self._rows):
            return None
        if role not in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return None
        row = self._rows[index.row()]
        standing = text("office.in_force")
        if row.ended_text:
            standing = text("office.ended", when=row.ended_text, reason=row.reason_text)
        return (row.name_text, row.enrolled_text, standing)[index.column()]

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads of the columns."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return text(f"office.head.{COLUMNS[section]}")
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        return None
