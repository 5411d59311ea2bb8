"""The rows of a take as a table model: a translator between the sheet and Qt, with nothing of its own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from app.ui.texts import text
from app.ui.worksheet.fieldline import Column
from app.ui.worksheet.sheet import RowLine, Sheet
from app.words import verdict_word

Index = QModelIndex | QPersistentModelIndex
# A heading of so many letters is no wider than the field beneath it.
_FITS_COUNT = 9


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table: a row, or the reason that stands beneath it."""

    row: RowLine
    is_reason: bool = False


def lines_of(rows: tuple[RowLine, ...]) -> list[Line]:
    """A line per row, and one more beneath each row that holds something without a number."""
    made: list[Line] = []
    for row in rows:
        made.append(Line(row))
        if row.reason:
            made.append(Line(row, is_reason=True))
    return made


def halves(words: str) -> list[str]:
    """Words in two lines as alike in length as they can be; one word stays whole.

    >>> halves("Fault current, A"), halves("Volts")
    (['Fault', 'current, A'], ['Volts'])
    """
    spaces = [at for at, sign in enumerate(words) if sign == " "]
    if not spaces:
        return [words]
    at = min(spaces, key=lambda place: max(place, len(words) - place - 1))
    return [words[:at], words[at + 1 :]]


class RowsModel(QAbstractTableModel):
    """Rows by columns; only what differs is told to the views."""

    def __init__(self) -> None:
        super().__init__()
        self._columns: tuple[Column, ...] = ()
        self._lines: list[Line] = []
        self._doubts: frozenset[tuple[str, str]] = frozenset()
        self._comments: dict[str, bool] = {}
        self._heads_broken = False

    # Content

    def break_heads(self, *, broken: bool) -> None:
        """Headings in two lines, where one line would be too wide."""
        if broken != self._heads_broken:
            self._heads_broken = broken
            if self._columns:
                self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self._columns) - 1)

    def head_lines(self, column: Column, *, broken: bool | None = None) -> list[str]:
        """What stands in a head, line by line; with `broken` as it would stand then."""
        parts = [part for part in (column.heading, column.reader) if part]
        if not (self._heads_broken if broken is None else broken):
            return parts
        lines = [halves(part) for part in parts]
        widest = max(_FITS_COUNT, *(len(line) for part in lines for line in part))
        # What is no wider than the rest stays whole: a unit beside its heading.
        return [
            line
            for part, apart in zip(parts, lines, strict=True)
            for line in ([part] if len(part) <= widest else apart)
        ]

    @property
    def doubts(self) -> frozenset[tuple[str, str]]:
        """Row and quantity of every reading that something noticed puts in doubt."""
        return self._doubts

    def show_doubts(self, doubts: frozenset[tuple[str, str]]) -> None:
        """Put other readings in doubt."""
        if doubts == self._doubts:
            return
        self._doubts = doubts
        if self._lines:
            last = self.index(len(self._lines) - 1, len(self._columns) - 1)
            self.dataChanged.emit(self.index(0, 0), last, [])

    @property
    def comments(self) -> dict[str, bool]:
        """The rows that are commented on, each with whether an answer is waited for."""
        return self._comments

    def show_comments(self, by_row: dict[str, bool]) -> None:
        """Mark other rows as commented on."""
        self._comments = by_row
        if self._lines:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self._lines) - 1, 0), [])

    @property
    def columns(self) -> tuple[Column, ...]:
        """The columns in force."""
        return self._columns

    @property
    def lines(self) -> list[Line]:
        """The lines in force."""
        return self._lines

    def show_sheet(self, sheet: Sheet) -> None:
        """Show another content."""
        if sheet.columns != self._columns:
            self._replace_columns(sheet.columns)
        new = lines_of(sheet.rows)
        common = min(len(new), len(self._lines))
        changed = [index for index in range(common) if new[index] != self._lines[index]]
        if len(new) < len(self._lines):
            self.beginRemoveRows(QModelIndex(), len(new), len(self._lines) - 1)
            del self._lines[len(new) :]
            self.endRemoveRows()
        for index in changed:
            self._lines[index] = new[index]
        if len(new) > common:
            self.beginInsertRows(QModelIndex(), common, len(new) - 1)
            self._lines.extend(new[common:])
            self.endInsertRows()
        if changed:
            self.dataChanged.emit(
                self.index(changed[0], 0), self.index(changed[-1], len(self._columns) - 1), []
            )

    def line_of(self, row: str) -> int:
        """The line of a row, or -1."""
        found = (i for i, line in enumerate(self._lines) if line.row.row == row and not line.is_reason)
        return next(found, -1)

    def _replace_columns(self, columns: tuple[Column, ...]) -> None:
        """Qt: rows go first, since a model without columns but with rows upsets accessibility (6.11)."""
        if self._lines:
            self.beginRemoveRows(QModelIndex(), 0, len(self._lines) - 1)
            self._lines = []
            self.endRemoveRows()
        if self._columns:
            self.beginRemoveColumns(QModelIndex(), 0, len(self._columns) - 1)
            self._columns = ()
            self.endRemoveColumns()
        self.beginInsertColumns(QModelIndex(), 0, len(columns) - 1)
        self._columns = columns
        self.endInsertColumns()

    # Qt

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Lines."""
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Columns."""
        return 0 if parent.isValid() else len(self._columns)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Read and chosen; typed in only in the row in hand."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemNeverHasChildren

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Text, alignment, accessible text and the row behind a cell."""
        if not index.isValid() or not 0 <= index.row() < len(self._lines):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.text_at(index.row(), index.column())
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return self.side_at(index.row(), index.column())
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._accessible(self._lines[index.row()], index.column())
        return None

    def text_at(self, row: int, section: int) -> str:
        """What a cell shows; the reason beneath a row stands in its first one."""
        line = self._lines[row]
        if line.is_reason:
            return line.row.reason if section == 0 else ""
        return line.row.texts[section]

    def side_at(self, row: int, section: int) -> Qt.AlignmentFlag:
        """Figures to the right, names and marks to the left."""
        line, column = self._lines[row], self._columns[section]
        left = (
            line.is_reason
            or column.kind == "verdict"
            or (column.kind == "row" and not line.row.row.isdigit())
        )
        side = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignRight
        return side | Qt.AlignmentFlag.AlignVCenter

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads of the columns with their units."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self._columns):
            return None
        column = self._columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return "\n".join(self.head_lines(column))
        if role == Qt.ItemDataRole.TextAlignmentRole:
            named = column.kind == "row" and column.heading != text("rows.head.row")
            left = column.kind == "verdict" or named
            side = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.ToolTipRole and column.quantity is not None:
            return column.quantity.help_text
        return None

    def _accessible(self, line: Line, section: int) -> str:
        if line.is_reason:
            return line.row.reason
        words = line.row.texts[section] or text("field.state.empty")
        if self._columns[section].kind == "verdict" and line.row.texts[section]:
            words = verdict_word(words)
        quantity = self._columns[section].quantity
        if quantity is not None and (line.row.row, quantity.quantity_id) in self._doubts:
            words = text("rows.cell.doubt", words=words)
        if section == 0 and line.row.row in self._comments:
            words = text("rows.cell.comment", words=words)
        if line.row.struck:
            words = text("rows.cell.struck", words=words)
        return text("rows.cell", heading=self._columns[section].heading, row=line.row.words, words=words)
