"""The block of method fields: how the test is done, in boxes as wide as their words."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui.texts import text
from app.ui.widgets.framedfield import FramedField
from app.ui.worksheet.fieldline import FieldLine

_GAP = 4
_WIDTHS = (158, 124, 100)


class MethodBlock(QWidget):
    """Fields that flow in rows across the width, each row filled."""

    accepted = Signal(int, str)
    same_as_above = Signal(int)
    focused = Signal(int)
    abandoned = Signal(int, str)
    help_asked = Signal()
    unmatched = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fields: list[FramedField] = []
        self.lines: tuple[FieldLine, ...] = ()
        self._told: object = None
        self._widest = _WIDTHS[0]
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(text("method.name"))

    def show_lines(self, lines: tuple[FieldLine, ...], *, decimal_mark: str, locked: bool) -> None:
        """Stand for other fields."""
        told = (lines, decimal_mark, locked)
        if told == self._told:
            return
        self._told, self.lines = told, lines
        while len(self.fields) < len(lines):
            self._add_field()
        while len(self.fields) > len(lines):
            self.fields.pop().deleteLater()
        for field, line in zip(self.fields, lines, strict=True):
            field.edit.decimal_mark = decimal_mark
            field.set_content(line.quantity, line.choices, line.state, line.shown, line.typed, line.reason)
            field.set_locked(locked)
            field.show()
        self._flow()

    def dress(self) -> None:
        """Take the sizes of the theme in force."""
        for field in self.fields:
            field.dress()
        self._flow()

    def _add_field(self) -> None:
        field = FramedField(" ", parent=self)
        index = len(self.fields)
        field.accepted.connect(lambda typed: self.accepted.emit(index, typed))
        field.edit.abandoned.connect(lambda typed: self.abandoned.emit(index, typed))
        field.edit.help_asked.connect(self.help_asked)
        field.edit.unmatched.connect(self.unmatched)
        field.edit.same_as_above.connect(lambda: self.same_as_above.emit(index))
        field.edit.focused.connect(lambda: self.focused.emit(index))
        field.edit.typed.connect(lambda _typed: self.focused.emit(index))
        self.fields.append(field)

    def _rows(self, width: int) -> list[list[FramedField]]:
        """Fields by row: as few rows as hold them, of about equal need."""
        if not self.fields:
            return []
        found = {widest: self._rows_with(width, widest) for widest in _WIDTHS}
        fewest = min(len(rows) for rows in found.values())
        self._widest = max(widest for widest, rows in found.items() if len(rows) == fewest)
        return found[self._widest]

    def _rows_with(self, width: int, widest: int) -> list[list[FramedField]]:
        needs = {id(field): min(field.sizeHint().width(), widest) for field in self.fields}
        for count in range(1, len(self.fields)):
            rows = _split(self.fields, list(needs.values()), count)
            if max(sum(needs[id(field)] + _GAP for field in row) for row in rows) <= width + _GAP:
                return rows
        return [[field] for field in self.fields]

    def _need(self, field: FramedField) -> int:
        """What a field wants, long words shortened: all of them stand in the hint once it has the focus."""
        return min(field.sizeHint().width(), self._widest)

    def _flow(self) -> None:
        rows = self._rows(self.width())
        top = 0
        for row in rows:
            left = 0
            needs = [self._need(field) for field in row]
            spare = self.width() - sum(needs) - _GAP * (len(row) - 1)
            for index, field in enumerate(row):
                wide = needs[index] + spare // len(row)
                if index == len(row) - 1:
                    wide = self.width() - left
                field.setGeometry(QRect(left, top, wide, field.height()))
                left += wide + _GAP
            top += row[0].height() + _GAP
        self.setFixedHeight(max(top - _GAP, 0))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Flow anew."""
        super().resizeEvent(event)
        self._flow()

    def minimumSizeHint(self) -> QSize:
        """Any width will do; the height follows."""
        return QSize(160, self.height())


def _split(fields: list[FramedField], needs: list[int], count: int) -> list[list[FramedField]]:
    """The fields in `count` rows, in order, each row about as full as the others."""
    share = sum(needs) / count
    rows: list[list[FramedField]] = [[]]
    filled = 0.0
    for field, need in zip(fields, needs, strict=True):
        if rows[-1] and filled + need / 2 > share * len(rows) and len(rows) < count:
            rows.append([])
        rows[-1].append(field)
        filled += need
    return rows
