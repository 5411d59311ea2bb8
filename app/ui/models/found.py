"""Places of a job that match what is typed, as a table model."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.desk import View
from app.ui.shell.titles import core_words, ct_words
from app.ui.texts import text

Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class Found:
    """One place: a plate, or a core."""

    words: str
    what: str
    ct_id: str
    core_id: str = ""


def places_of(view: View) -> list[Found]:
    """Every plate and every core of the job."""
    found = []
    for position in view.job.positions:
        for ct in position.cts:
            words = ct_words(position, ct)
            found.append(Found(words, text("find.plate"), ct.ct_id))
            found.extend(
                Found(
                    f"{words} · {text('find.core', number=core.number, words=core_words(core))}",
                    text("find.worksheet"),
                    ct.ct_id,
                    core.core_id,
                )
                for core in ct.cores
            )
    return found


class FoundModel(QAbstractTableModel):
    """What was found, cut down as letters are typed."""

    def __init__(self, view: View, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._all = places_of(view)
        self._rows = list(self._all)

    def search(self, letters: str) -> None:
        """Keep the places that hold every word typed."""
        words = letters.casefold().split()
        kept = [one for one in self._all if all(word in one.words.casefold() for word in words)]
        if self._rows:
            self.beginRemoveRows(QModelIndex(), 0, len(self._rows) - 1)
            self._rows = []
            self.endRemoveRows()
        if kept:
            self.beginInsertRows(QModelIndex(), 0, len(kept) - 1)
            self._rows = kept
            self.endInsertRows()

    def place(self, row: int) -> Found | None:
        """The place of a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many were found."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """The place, and what opens there."""
        return 0 if parent.isValid() else 2

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell."""
        if index.isValid() and index.row() < len(self._rows) and role == Qt.ItemDataRole.DisplayRole:
            one = self._rows[index.row()]
            return (one.words, one.what)[index.column()]
        return None
