"""The sets of a job as a grid: cores down, phases across, a verdict mark in each cell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.desk import View
from app.desk.board import verdicts_of
from app.ui.texts import text
from app.words import in_line, procedure, verdict_word
from ctcore.findings import Verdict, worst
from ctcore.job import CT, Core, Position
from ctcore.procedures import planned

Index = QModelIndex | QPersistentModelIndex
CELL_ROLE: Final = int(Qt.ItemDataRole.UserRole)
_EXCEPTIONS: Final = ("outside", "refer")


@dataclass(frozen=True, slots=True)
class SetCell:
    """One cell: what it stands for, what it says, and its mark."""

    kind: str
    words: str = ""
    position_id: str = ""
    ct_id: str = ""
    core_id: str = ""
    verdict: Verdict | None = None
    spoken: str = ""


EMPTY: Final = SetCell("empty")


def rows_of(view: View) -> tuple[list[tuple[SetCell, ...]], int]:
    """The rows of the grid: a heading per position, a row per core number; and the most phases of a set."""
    widest = max((len(position.cts) for position in view.job.positions), default=1)
    rows: list[tuple[SetCell, ...]] = []
    for position in view.job.positions:
        rows.append(_padded(_heading(position), widest))
        numbers = sorted({core.number for ct in position.cts for core in ct.cores})
        rows.extend(_padded(_core_row(view, position, number), widest) for number in numbers)
    return rows, widest


def _padded(cells: list[SetCell], widest: int) -> tuple[SetCell, ...]:
    return (*cells, *[EMPTY] * (widest + 1 - len(cells)))


def _heading(position: Position) -> list[SetCell]:
    first = position.cts[0].ct_id if position.cts else ""
    head = SetCell(
        "position", position.name_text, position.position_id, first,
        spoken=text("sets.position", name=position.name_text),
    )  # fmt: skip
    return [head, *(_phase(position, ct) for ct in position.cts)]


def _phase(position: Position, ct: CT) -> SetCell:
    spoken = text("sets.phase", name=position.name_text, phase=ct.phase_text, serial=ct.serial_text or "–")
    return SetCell("phase", ct.phase_text, position.position_id, ct.ct_id, spoken=spoken)


def _core_row(view: View, position: Position, number: int) -> list[SetCell]:
    cores = [(ct, core) for ct in position.cts for core in ct.cores if core.number == number]
    first = cores[0][1]
    label = f"{number} {_short_class(first)}"
    cells = [SetCell("core", label, position.position_id, cores[0][0].ct_id, first.core_id, spoken=label)]
    by_ct = {ct.ct_id: core for ct, core in cores}
    for ct in position.cts:
        core = by_ct.get(ct.ct_id)
        cells.append(EMPTY if core is None else _place(view, position, ct, core, label))
    return cells


def _place(view: View, position: Position, ct: CT, core: Core, label: str) -> SetCell:
    verdict = worst(verdicts_of(view, core.core_id).values())
    tests = planned(core)
    begun = sum(1 for test in tests if view.takes.get((core.core_id, test.procedure_id)))
    counted = begun and verdict not in _EXCEPTIONS and begun < len(tests)
    words = f"{begun}/{len(tests)}" if counted else ""
    spoken = text(
        "sets.core", name=position.name_text, phase=ct.phase_text, core=label, verdict=verdict_word(verdict),
        begun=begun, all=len(tests),
    )  # fmt: skip
    shown: Verdict | None = None if counted else verdict
    return SetCell("place", words, position.position_id, ct.ct_id, core.core_id, shown, spoken)


def _short_class(core: Core) -> str:
    """The class without its numbers of duty: enough to tell the cores of a set apart."""
    words = core.class_text.split()
    kept = [word for word in words if not word.upper().endswith("VA") and not word.isdigit()]
    return " ".join(kept[:2]) if kept[:1] and kept[0].upper() not in ("PX", "PXR") else "".join(kept[:1])


def waiting(view: View) -> list[str]:
    """What waits in the job: one line per core with an exception, the worst first."""
    found: list[tuple[int, str]] = []
    for position in view.job.positions:
        for ct in position.cts:
            for core in ct.cores:
                for procedure_id, verdict in verdicts_of(view, core.core_id).items():
                    if verdict in _EXCEPTIONS:
                        where = text("sets.waiting_at", phase=ct.phase_text, number=core.number)
                        what = procedure(procedure_id).short_name if procedure_id else ""
                        word = verdict_word(verdict)
                        line = text("sets.waiting_line", where=where, what=in_line(what), verdict=word)
                        found.append((_EXCEPTIONS.index(verdict), line))
    return list(dict.fromkeys(line for _, line in sorted(found, key=lambda entry: entry[0])))


class SetsModel(QAbstractTableModel):
    """Cores down, phases across. Arrow keys reach every position, transformer and core."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: list[tuple[SetCell, ...]] = []
        self._columns = 0

    def put(self, view: View) -> None:
        """Show another picture; where only marks changed the cells stay."""
        rows, widest = rows_of(view)
        same_shape = len(rows) == len(self._rows) and widest + 1 == self._columns
        if same_shape:
            self._rows = rows
            if rows:
                self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, self._columns - 1))
            return
        self._clear()
        self.beginInsertColumns(QModelIndex(), 0, widest)
        self._columns = widest + 1
        self.endInsertColumns()
        if rows:
            self.beginInsertRows(QModelIndex(), 0, len(rows) - 1)
            self._rows = rows
            self.endInsertRows()

    def cell(self, index: Index) -> SetCell:
        """What a cell stands for."""
        if not index.isValid() or index.row() >= len(self._rows):
            return EMPTY
        return self._rows[index.row()][index.column()]

    def index_of(self, core_id: str) -> QModelIndex:
        """Where a core stands."""
        for row, cells in enumerate(self._rows):
            for column, cell in enumerate(cells):
                if cell.kind == "place" and cell.core_id == core_id:
                    return self.index(row, column)
        return QModelIndex()

    def _clear(self) -> None:
        if self._rows:
            self.beginRemoveRows(QModelIndex(), 0, len(self._rows) - 1)
            self._rows = []
            self.endRemoveRows()
        if self._columns:
            self.beginRemoveColumns(QModelIndex(), 0, self._columns - 1)
            self._columns = 0
            self.endRemoveColumns()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Headings and cores."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """The label, then a column per phase."""
        return 0 if parent.isValid() else self._columns

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Empty cells are passed over."""
        if self.cell(index).kind == "empty":
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The words of a cell, what a screen reader says, and the cell itself."""
        cell = self.cell(index)
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.words or (verdict_word(cell.verdict) if cell.verdict else "")
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return cell.spoken or None
        if role == CELL_ROLE:
            return cell
        return None
