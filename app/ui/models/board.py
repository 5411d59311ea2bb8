"""The board as a table: a row per core of a set, a column per test, the boxes of its phases in each cell."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.desk.board import Board, Box, Line, Said, said
from app.desk.view import View
from app.ui.texts import text
from app.words import procedure_in_words, verdict_word

Index = QModelIndex | QPersistentModelIndex
LINE_ROLE: Final = int(Qt.ItemDataRole.UserRole)
_NO_BOARD: Final = Board((), 1, ())


class BoardModel(QAbstractTableModel):
    """Shows a board; the words under a group of boxes are made when they are first looked at."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.board = _NO_BOARD
        self.here = ("", "")
        self._view: View | None = None
        self._said: dict[tuple[int, int], Said] = {}

    def put(self, shown: Board, view: View, *, here: tuple[str, str]) -> None:
        """Show another board; where it has the same rows and columns only its contents change."""
        places = ([line.is_position for line in one.lines] for one in (shown, self.board))
        same = next(places) == next(places) and shown.tests == self.board.tests
        self._view, self.here = view, here
        if same:
            self._said.clear()
            self.board = shown
            if shown.lines:
                self.dataChanged.emit(self.index(0, 0), self.index(len(shown.lines) - 1, len(shown.tests)))
            return
        self._clear()
        if not shown.lines:
            return
        self.beginInsertColumns(QModelIndex(), 0, len(shown.tests))
        self.board = Board(shown.tests, shown.widest, ())
        self.endInsertColumns()
        self.beginInsertRows(QModelIndex(), 0, len(shown.lines) - 1)
        self.board = shown
        self.endInsertRows()

    def _clear(self) -> None:
        self._said.clear()
        if self.board.lines:
            self.beginRemoveRows(QModelIndex(), 0, len(self.board.lines) - 1)
            self.board = Board(self.board.tests, self.board.widest, ())
            self.endRemoveRows()
        if self.board.tests:
            self.beginRemoveColumns(QModelIndex(), 0, len(self.board.tests))
            self.board = _NO_BOARD
            self.endRemoveColumns()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Positions and their cores."""
        return 0 if parent.isValid() else len(self.board.lines)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """The name of the core, then its tests."""
        return 0 if parent.isValid() or not self.board.tests else 1 + len(self.board.tests)

    def line(self, row: int) -> Line | None:
        """The row of that number."""
        return self.board.lines[row] if 0 <= row < len(self.board.lines) else None

    def group(self, index: Index) -> tuple[Box | None, ...]:
        """The boxes of a cell."""
        line = self.line(index.row())
        return line.boxes[index.column() - 1] if line and line.boxes and index.column() > 0 else ()

    def said(self, index: Index) -> Said:
        """The words under the boxes of a cell."""
        key = (index.row(), index.column())
        if key not in self._said:
            group = self.group(index)
            made = said(self._view, group, here=self.here) if group and self._view else Said("")
            self._said[key] = made
        return self._said[key]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words of a cell, and all of it for a screen reader."""
        line = self.line(index.row()) if index.isValid() else None
        if line is None:
            return None
        if role == LINE_ROLE:
            return line
        if role == Qt.ItemDataRole.DisplayRole:
            return line.words if index.column() == 0 else self.said(index).words
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._spoken(index, line)
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Number and name of a test."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        if not 1 <= section <= len(self.board.tests):
            return text("board.core") if section == 0 else None
        return f"{section} {procedure_in_words(self.board.tests[section - 1]).short_name}"

    def _spoken(self, index: Index, line: Line) -> str:
        if index.column() == 0 or line.is_position:
            return ", ".join(part for part in (line.words, line.second) if part)
        group = [box for box in self.group(index) if box is not None]
        boxes = "; ".join(f"{box.phase_text} {verdict_word(box.verdict)}" for box in group)
        test = procedure_in_words(self.board.tests[index.column() - 1]).name
        return text("board.cell", core=line.words, test=test, boxes=boxes, said=self.said(index).words)
