"""The instruments of a job as a table model, with what is wrong with their calibration."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.ui.texts import text
from ctcore.job import Instrument

Index = QModelIndex | QPersistentModelIndex
COLUMNS: Final = ("name", "serial", "response", "due")


def calibration_words(instrument: Instrument, today: date) -> str:
    """When the calibration ends or ended; an expired one is said on the day it is noticed."""
    if not instrument.due_on:
        return text("instrument.no_due")
    if date.fromisoformat(instrument.due_on) < today:
        return text("instrument.ended", due=instrument.due_on)
    return text("instrument.until", due=instrument.due_on)


class InstrumentsModel(QAbstractTableModel):
    """A line per instrument."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Instrument, ...] = ()
        self.today = datetime.now().astimezone().date()

    def put(self, instruments: Sequence[Instrument]) -> None:
        """Show another list."""
        kept = tuple(instruments)
        if len(kept) == len(self._rows):
            self._rows = kept
            if kept:
                self.dataChanged.emit(self.index(0, 0), self.index(len(kept) - 1, len(COLUMNS) - 1))
            return
        if self._rows:
            self.beginRemoveRows(QModelIndex(), 0, len(self._rows) - 1)
            self._rows = ()
            self.endRemoveRows()
        if kept:
            self.beginInsertRows(QModelIndex(), 0, len(kept) - 1)
            self._rows = kept
            self.endInsertRows()

    def instrument(self, row: int) -> Instrument | None:
        """The instrument of a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def row_of(self, instrument_id: str) -> int:
        """The row of an instrument; -1 where there is none."""
        return next((row for row, one in enumerate(self._rows) if one.instrument_id == instrument_id), -1)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Name, serial number, response, calibration."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell."""
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            one = self._rows[index.row()]
            words = {
                "name": one.name_text,
                "serial": one.serial_text,
                "response": text(f"response.{one.response}"),
                "due": calibration_words(one, self.today),
            }[COLUMNS[index.column()]]
            return f"{text(f'instrument.head.{COLUMNS[index.column()]}')}: {words}" if role else words
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads of the columns."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return text(f"instrument.head.{COLUMNS[section]}")
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        return None
