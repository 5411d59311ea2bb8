"""The row in hand: a tinted band with one field per typed column, lying in the table where its row stands."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QPointF, QRect, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.ui import marks, theme
from app.ui.texts import text
from app.ui.widgets.framedfield import FramedField
from app.ui.worksheet.fieldline import Column
from app.ui.worksheet.rows_delegate import comment_in
from app.ui.worksheet.sheet import RowLine


class EntryRow(QWidget):
    """Fields in the order of the columns; Enter in one is told with its place in the row."""

    accepted = Signal(int, str)
    typed = Signal(int, str)
    same_as_above = Signal(int)
    focused = Signal(int)
    abandoned = Signal(int, str)
    help_asked = Signal()
    unmatched = Signal(str)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.fields: list[FramedField] = []
        self._told: object = None
        self._words = ""
        self._note = ""
        self._columns: list[tuple[Column, QRect]] = []
        self._texts: tuple[str, ...] = ()
        self._left_words = False
        self._row = ""
        self._comments: dict[str, bool] = {}
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def show_row(self, line: RowLine, *, decimal_mark: str, locked: bool, note: str) -> None:
        """Stand for a row of the sheet."""
        told = (line, decimal_mark, locked, note)
        if told == self._told and not any(field.edit.is_edited for field in self.fields):
            return
        self._told = told
        self._words, self._note, self._texts = line.words, note, line.texts
        self._left_words = not line.row.isdigit()
        self._row = line.row
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
        self.setAccessibleName(text("rows.named", row=line.words))
        self.update()

    def show_comments(self, by_row: dict[str, bool]) -> None:
        """Mark other rows as commented on."""
        self._comments = by_row
        self.update()

    def set_note(self, note: str) -> None:
        """Say something else behind the fields."""
        self._note = note
        self.update()

    def place(self, columns: list[tuple[Column, QRect]]) -> None:
        """Put the fields over their columns."""
        if columns == self._columns:
            return
        self._columns = columns
        typed = [box for column, box in columns if column.kind == "typed"]
        for field, box in zip(self.fields, typed, strict=False):
            field.setGeometry(box.left() + 3, 2, box.width() - 5, self.height() - 4)
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
        field.edit.abandoned.connect(lambda text: self.abandoned.emit(index, text))
        field.edit.help_asked.connect(self.help_asked)
        field.edit.unmatched.connect(self.unmatched)
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
        row_right = self._columns[0][1].width() if self._columns else 40
        box = QRect(14, 0, row_right - 22, self.height())
        if self._row in self._comments:
            room = QRect(8, 0, row_right - 16, self.height())
            left = comment_in(painter, room, side, is_open=self._comments[self._row])
            box.setRight(min(box.right(), left.right()))
            painter.setPen(theme.color("ink"))
        painter.drawText(box, side | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap, self._words)
        if self._note:
            self._paint_note(painter)
        else:
            self._paint_texts(painter)

    def _paint_note(self, painter: QPainter) -> None:
        typed = [box for column, box in self._columns if column.kind == "typed"]
        left = (typed[-1].right() if typed else 40) + 12
        if self.width() - left > 90:
            painter.setFont(theme.font("second"))
            note = QRect(left, 2, self.width() - left - 6, self.height() - 4)
            painter.drawText(note, Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap, self._note)

    def _paint_texts(self, painter: QPainter) -> None:
        """What the row derives and what the sisters have, as in the settled rows."""
        painter.setFont(theme.font("value"))
        for (column, box), words in zip(self._columns, self._texts, strict=False):
            if column.kind == "verdict" and words:
                center = QPointF(box.left() + 22, self.height() / 2)
                marks.paint(painter, cast(marks.Mark, words), center, 12, ground=theme.color("here_tint"))
            elif column.kind in ("derived", "sister", "against"):
                cell = QRect(box.left(), 0, box.width() - 8, self.height())
                painter.setPen(theme.color("ink"))
                painter.drawText(cell, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, words)
