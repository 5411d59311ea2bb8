"""The row in hand: a tinted band with one field per typed column, lying in the table where its row stands."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.ui import theme
from app.ui.widgets.framedfield import FramedField
from app.ui.worksheet.sheet import RowLine


class EntryRow(QWidget):
    """Fields in the order of the columns; Enter in one is told with its place in the row."""

    accepted = Signal(int, str)
    typed = Signal(int, str)
    same_as_above = Signal(int)
    focused = Signal(int)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.fields: list[FramedField] = []
        self._words = ""
        self._note = ""
        self._row_right = 40
        self._note_left = 0
        self._left_words = False
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def show_row(self, line: RowLine, *, decimal_mark: str, locked: bool, note: str) -> None:
        """Stand for a row of the sheet."""
        self._words, self._note = line.words, note
        self._left_words = not line.row.isdigit()
        while len(self.fields) < len(line.fields):
            self._add_field()
        while len(self.fields) > len(line.fields):
            self.fields.pop().deleteLater()
        for field, content in zip(self.fields, line.fields, strict=True):
            field.edit.decimal_mark = decimal_mark
            field.set_content(
                content.quantity, content.choices, content.state, content.shown, content.typed, content.reason
            )
            field.set_locked(locked)
            field.show()
        self.setAccessibleName(f"Row {line.words}")
        self.update()

    def set_note(self, note: str) -> None:
        """Say something else behind the fields."""
        self._note = note
        self.update()

    def place(self, columns: list[QRect], row_right: int) -> None:
        """Put the fields over their columns."""
        self._row_right = row_right
        for field, box in zip(self.fields, columns, strict=False):
            field.setGeometry(box.left() + 3, 2, box.width() - 5, self.height() - 4)
        self._note_left = (columns[-1].right() if columns else row_right) + 12
        self.update()

    def dress(self) -> None:
        """Take the sizes of the theme in force."""
        for field in self.fields:
            field.dress()

    def _add_field(self) -> None:
        field = FramedField(parent=self)
        index = len(self.fields)
        field.accepted.connect(lambda text: self.accepted.emit(index, text))
        field.edit.typed.connect(lambda text: self.typed.emit(index, text))
        field.edit.same_as_above.connect(lambda: self.same_as_above.emit(index))
        field.edit.focused.connect(lambda: self.focused.emit(index))
        self.fields.append(field)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Tint, bar, the row's name and the note."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("here_tint"))
        painter.fillRect(QRect(0, 0, 8, self.height()), theme.color("here"))
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("second" if self._left_words else "reading", bold=True))
        side = Qt.AlignmentFlag.AlignLeft if self._left_words else Qt.AlignmentFlag.AlignRight
        box = QRect(14, 0, self._row_right - 22, self.height())
        painter.drawText(box, side | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap, self._words)
        if self._note and self.width() - self._note_left > 90:
            painter.setFont(theme.font("second"))
            note = QRect(self._note_left, 2, self.width() - self._note_left - 6, self.height() - 4)
            painter.drawText(note, Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap, self._note)
