"""The day of one core as a table model."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.desk.day import DayLine
from app.ui.shell.ruled_table import MARK_ROLE
from app.ui.texts import text
from app.words import procedure, told, verdict_word

Index = QModelIndex | QPersistentModelIndex
COLUMNS: Final = ("number", "test", "state", "when", "took")


class DayModel(QAbstractTableModel):
    """A line per test."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lines: tuple[DayLine, ...] = ()

    def put(self, lines: tuple[DayLine, ...]) -> None:
        """Show the day as it stands now."""
        self.beginResetModel()
        self.lines = lines
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many tests there are."""
        return 0 if parent.isValid() else len(self.lines)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Number, test, state, when, how long."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell, or the mark of its verdict."""
        if not index.isValid() or index.row() >= len(self.lines):
            return None
        line, column = self.lines[index.row()], COLUMNS[index.column()]
        if role == MARK_ROLE:
            return line.verdict if column == "state" else None
        if role == Qt.ItemDataRole.ToolTipRole:
            return told(f"plan.{line.step.procedure_id}", line.step.why)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{text(f'day.head.{column}')}: {self._words(index.row(), column)}"
        return self._words(index.row(), column) if role == Qt.ItemDataRole.DisplayRole else None

    def _words(self, row: int, column: str) -> str:
        line = self.lines[row]
        return {
            "number": str(row + 1) if line.is_planned else "",
            "test": procedure(line.step.procedure_id).name,
            "state": _state(line),
            "when": line.when_text,
            "took": line.took_text,
        }[column]

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads of the columns."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return text(f"day.head.{COLUMNS[section]}")
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        return None


def _state(line: DayLine) -> str:
    if line.step.left_out_text and not line.step.began_utc:
        return text("day.left_out", why=line.step.left_out_text)
    if line.is_next:
        return text("day.next")
    word = verdict_word(line.verdict)
    return word if line.is_planned else text("day.unplanned", verdict=word)
