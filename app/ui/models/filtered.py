"""Lines of a list that hold every word typed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic, TypeVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex

Line = TypeVar("Line")


class FilteredLines(QAbstractTableModel, Generic[Line]):
    """A table model whose subclass sets `_all`, `_searched`, `_shown` and `_letters`, then calls `_fill`."""

    _all: Sequence[Line]
    _searched: Sequence[str]
    _shown: list[Line]
    _letters: str

    def line(self, row: int) -> Line | None:
        """What stands in a row."""
        return self._shown[row] if 0 <= row < len(self._shown) else None

    def _fill(self) -> None:
        words = self._letters.casefold().split()
        kept = [
            line
            for line, searched in zip(self._all, self._searched, strict=True)
            if all(word in searched for word in words)
        ]
        if self._shown:
            self.beginRemoveRows(QModelIndex(), 0, len(self._shown) - 1)
            self._shown = []
            self.endRemoveRows()
        if kept:
            self.beginInsertRows(QModelIndex(), 0, len(kept) - 1)
            self._shown = kept
            self.endInsertRows()
