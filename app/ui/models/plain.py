"""A plain table of texts as a model, and the tables of the office in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, Qt

from app.report.plain_tables import PlainTable
from app.ui.models.lines import Index
from app.ui.texts import text
from app.words import verdict_word

if TYPE_CHECKING:
    from app.desk.archive.fleet import DueLine, OfArchive, StateCount


class PlainModel(QAbstractTableModel):
    """The rows of a table as they are printed."""

    def __init__(self, table: PlainTable, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.table = table

    def put(self, table: PlainTable) -> None:
        """Show another table."""
        self.beginResetModel()
        self.table = table
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many rows."""
        return 0 if parent.isValid() else len(self.table.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many heads."""
        return 0 if parent.isValid() else len(self.table.heads)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell; to a screen reader with its head."""
        if not index.isValid() or index.row() >= len(self.table.rows):
            return None
        words = self.table.rows[index.row()][index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return words
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{self.table.heads[index.column()]}: {words}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads of the columns."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self.table.heads):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.table.heads[section]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        return None


def states_table(counts: Sequence[StateCount]) -> PlainTable:
    """Jobs of this store by state."""
    return _table(
        "states",
        ("state", "jobs", "cores", "worst"),
        [
            (
                text(f"state.{one.state}"),
                str(one.job_count),
                str(one.core_count),
                ", ".join(f"{verdict_word(word)} {count}" for word, count in one.by_worst),
            )
            for one in counts
        ],
    )


def faults_table(found: OfArchive | None) -> PlainTable:
    """What was not within, by rule."""
    return _table(
        "faults",
        ("rule", "outside", "refer", "other", "cores", "records"),
        [
            (
                rule_words(one.rule),
                str(one.outside_count),
                str(one.refer_count),
                str(one.other_count),
                str(one.core_count),
                str(one.record_count),
            )
            for one in (found.faults if found else ())
        ],
        asked=found is not None,
    )


def deviations_table(found: OfArchive | None, today_text: str) -> PlainTable:
    """Open deviations by day and owner; one whose day is gone says so."""
    return _table(
        "deviations",
        ("due", "owner", "number", "site", "found"),
        [
            (
                text("fleet.overdue", day=one.due_on)
                if one.due_on and one.due_on < today_text
                else one.due_on,
                one.owner_text,
                one.number_text,
                one.site_text,
                one.found_text,
            )
            for one in (found.deviations if found else ())
        ],
        asked=found is not None,
    )


def due_table(lines: Sequence[DueLine]) -> PlainTable:
    """Instruments whose calibration ended, or ends within 30 or 90 days."""
    return _table(
        "due",
        ("when", "day", "name", "serial", "used"),
        [
            (text(f"due.{one.when}"), one.due_on, one.name_text, one.serial_text, one.last_used_on)
            for one in lines
        ],
    )


def rule_words(rule: str) -> str:
    """The id of a rule as words."""
    return rule.replace(".", ": ").replace("_", " ")


def _table(
    name: str, heads: tuple[str, ...], rows: Sequence[tuple[str, ...]], *, asked: bool = True
) -> PlainTable:
    note = "" if rows else text(f"fleet.no_{name}") if asked else text("fleet.not_asked")
    return PlainTable(
        heading=text(f"fleet.{name}"),
        heads=tuple(text(f"fleet.{name}.{head}") for head in heads),
        rows=tuple(rows),
        note_text=note,
    )
