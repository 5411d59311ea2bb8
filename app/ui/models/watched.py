"""What a witness watched: a line per core, a column per planned test, each cell said or not."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.ui.texts import text
from app.words import all_procedures
from ctcore.job import Job, Person, places
from ctcore.procedures import planned

Index = QModelIndex | QPersistentModelIndex


class WatchedModel(QAbstractTableModel):
    """`tests()` tells what stands in the cells now."""

    def __init__(self, job: Job, person: Person, parent: QObject | None = None) -> None:
        super().__init__(parent)
        found = places(job)
        self._cores = [place.core.core_id for place in found]
        self._names = [
            text("watched.core", position=place.position.name_text, phase=place.ct.phase_text,
                 core=place.core.number)
            for place in found
        ]  # fmt: skip
        self._watched = {(one.core_id, test) for one in person.watched for test in one.procedures}
        wanted = {test.procedure_id for place in found for test in planned(place.core)}
        wanted |= {test for _, test in self._watched}
        self._tests = [test for test in all_procedures() if test.procedure_id in wanted]

    def tests(self) -> dict[str, list[str]]:
        """The tests that were watched, by core."""
        return {
            core_id: [
                test.procedure_id for test in self._tests if (core_id, test.procedure_id) in self._watched
            ]
            for core_id in self._cores
        }

    def toggle(self, row: int, column: int) -> None:
        """Say or unsay one test of a core; in the first column all tests of the core."""
        self._turn([row], range(1, len(self._tests) + 1) if column == 0 else [column])

    def toggle_column(self, column: int) -> None:
        """Say or unsay one test on every core; in the first column all tests of all cores."""
        self._turn(range(len(self._cores)), range(1, len(self._tests) + 1) if column == 0 else [column])

    def _turn(self, rows: Any, columns: Any) -> None:
        cells = {
            (self._cores[row], self._tests[column - 1].procedure_id) for row in rows for column in columns
        }
        self._watched = self._watched - cells if cells <= self._watched else self._watched | cells
        self.dataChanged.emit(self.index(0, 0), self.index(len(self._cores) - 1, len(self._tests)))

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Cores of the job."""
        return 0 if parent.isValid() else len(self._cores)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """The core, then its tests."""
        return 0 if parent.isValid() else len(self._tests) + 1

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The name of the core, or a word where the test was watched."""
        if not index.isValid():
            return None
        if index.column() == 0:
            words = self._names[index.row()]
        else:
            cell = (self._cores[index.row()], self._tests[index.column() - 1].procedure_id)
            words = text("watched.yes") if cell in self._watched else "–"
        if role == Qt.ItemDataRole.DisplayRole:
            return words
        if role == Qt.ItemDataRole.AccessibleTextRole:
            head = self.headerData(index.column(), Qt.Orientation.Horizontal)
            said = text("watched.no") if words == "–" else words
            return f"{self._names[index.row()]}, {head}: {said}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """The tests."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section <= len(self._tests):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return text("watched.head") if section == 0 else self._tests[section - 1].short_name
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        return None
