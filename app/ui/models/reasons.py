"""Why a step is not possible yet, one row per reason; a row leads to its place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk.queue import Reason

Index = QModelIndex | QPersistentModelIndex


class ReasonsModel(QAbstractTableModel):
    """Reasons in the order of the plan."""

    def __init__(self, reasons: Sequence[Reason], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._reasons = tuple(reasons)

    def reason(self, row: int) -> Reason | None:
        """The reason of a row."""
        return self._reasons[row] if 0 <= row < len(self._reasons) else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Reasons."""
        return 0 if parent.isValid() else len(self._reasons)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """The reason, and where it leads."""
        return 0 if parent.isValid() else 2

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words of a cell."""
        if not index.isValid() or not 0 <= index.row() < len(self._reasons):
            return None
        reason = self._reasons[index.row()]
        told = retold(reason.text)
        words = f"{told[:1].upper()}{told[1:]}"
        if role == Qt.ItemDataRole.DisplayRole:
            leads = text("reasons.go") if reason.core_id or reason.page_id else ""
            return leads if index.column() else words
        return words if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole) else None
