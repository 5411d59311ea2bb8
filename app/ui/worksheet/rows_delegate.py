"""Draws the settled rows: bold for the reading as taken, a line through what is struck, a verdict's mark."""

from __future__ import annotations

from typing import Final, NamedTuple, cast

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, QPointF, QRect, Qt
from PySide6.QtGui import QFont, QPainter, QPen, QPixmap
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from app.ui import marks, theme
from app.ui.plots import pins
from app.ui.worksheet.fieldline import Column, FieldLine
from app.ui.worksheet.rows_model import Line, RowsModel

_SIGNS: Final = {"no number": "!", "doubt": "?"}
_MOST_PICTURES: Final = 3000
COMMENT_PX: Final = 16


class _Look(NamedTuple):
    """All that a cell's picture depends on, but for the theme."""

    words: str
    kind: str
    bold: bool
    struck: bool
    sign: str
    comment: bool | None
    side: Qt.AlignmentFlag
    banded: bool
    wide: int
    tall: int
    ratio: float


def comment_in(painter: QPainter, rect: QRect, side: Qt.AlignmentFlag, *, is_open: bool) -> QRect:
    """The balloon of a comment in the cell of a row's name, across from the name; what room is left."""
    name_is_left = bool(side & Qt.AlignmentFlag.AlignLeft)
    x = rect.right() - COMMENT_PX // 2 if name_is_left else rect.left() + COMMENT_PX // 2 + 2
    pins.paint_small(painter, QPointF(x, rect.center().y()), is_open=is_open)
    return rect.adjusted(0, 0, -COMMENT_PX, 0) if name_is_left else rect.adjusted(COMMENT_PX, 0, 0, 0)


class RowsDelegate(QStyledItemDelegate):
    """Paints one cell of a settled row."""

    def __init__(self, rows: RowsModel, parent: QObject) -> None:
        super().__init__(parent)
        self._rows = rows
        self.bold_quantity_id = ""
        self._fonts: dict[tuple[str, bool, bool], QFont] = {}
        self._pictures: dict[_Look, QPixmap] = {}

    def dress(self) -> None:
        """Forget fonts and pictures of another theme."""
        self._fonts.clear()
        self._pictures.clear()

    def _font(self, role: str, *, bold: bool = False, struck: bool = False) -> QFont:
        key = (role, bold, struck)
        if key not in self._fonts:
            made = theme.font(role, bold=bold)
            made.setStrikeOut(struck)
            self._fonts[key] = made
        return self._fonts[key]

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Band, text and, where the text gave no number, a frame with its sign.

        A cell drawn once is kept as a picture: when a row comes in hand, all others are only moved.
        """
        # Straight from the model: a question through Qt per cell and role costs more than drawing the cell.
        line, column = self._rows.lines[index.row()], self._rows.columns[index.column()]
        rect = option.rect
        words = self._rows.text_at(index.row(), index.column())
        banded = bool(index.row() % 2) and not line.is_reason
        if not words:
            if banded:
                painter.fillRect(rect, theme.color("band"))
            return
        if line.is_reason:
            self._paint_reason(painter, rect, words)
            return
        field = self._field(line, column)
        struck = line.row.struck or (field is not None and field.state == "struck")
        look = _Look(
            words=words,
            kind=column.kind,
            bold=field is not None and field.quantity.quantity_id == self.bold_quantity_id and not struck,
            struck=struck and column.kind == "typed",
            sign=self._sign(line, field),
            comment=self._rows.comments.get(line.row.row) if column.kind == "row" else None,
            side=self._rows.side_at(index.row(), index.column()),
            banded=banded,
            wide=rect.width(),
            tall=rect.height(),
            ratio=painter.device().devicePixelRatioF(),
        )
        if look not in self._pictures:
            if len(self._pictures) >= _MOST_PICTURES:
                self._pictures.clear()
            self._pictures[look] = self._picture(look)
        painter.drawPixmap(rect.topLeft(), self._pictures[look])

    def _sign(self, line: Line, field: FieldLine | None) -> str:
        if field is None:
            return ""
        in_doubt = (line.row.row, field.quantity.quantity_id) in self._rows.doubts
        return _SIGNS.get(field.state, "?" if in_doubt and field.state == "kept" else "")

    def _picture(self, look: _Look) -> QPixmap:
        rect = QRect(0, 0, look.wide, look.tall)
        made = QPixmap(rect.size() * look.ratio)
        made.setDevicePixelRatio(look.ratio)
        made.fill(theme.color("band" if look.banded else "sheet"))
        painter = QPainter(made)
        if look.kind == "verdict":
            marks.paint(painter, cast(marks.Mark, look.words), QPointF(22, rect.center().y() + 0.5), 12)
            return made
        if look.comment is not None:
            rect = comment_in(painter, rect, look.side, is_open=look.comment)
        role = "reading" if look.kind == "typed" else "second" if look.kind == "row" else "value"
        painter.setFont(self._font(role, bold=look.bold, struck=look.struck))
        painter.setPen(theme.color("ink"))
        if look.sign:
            self._paint_sign(painter, rect, look.sign)
            rect = rect.adjusted(0, 0, -12, 0)
        words = look.words
        if painter.fontMetrics().horizontalAdvance(words) > rect.width() - 10:
            painter.setFont(self._font("label", bold=look.bold))
            words = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideMiddle, rect.width() - 10)
        painter.drawText(rect.adjusted(6, 0, -8, 0), look.side, words)
        return made

    def _field(self, line: Line, column: Column) -> FieldLine | None:
        if column.kind != "typed" or column.quantity is None:
            return None
        found = (f for f in line.row.fields if f.quantity.quantity_id == column.quantity.quantity_id)
        return next(found, None)

    def _paint_reason(self, painter: QPainter, rect: QRect, words: str) -> None:
        if not words:
            return
        painter.setFont(self._font("label"))
        painter.setPen(theme.color("ink"))
        box = rect.adjusted(10, -2, -6, 0)
        shown = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, shown)

    def _paint_sign(self, painter: QPainter, rect: QRect, sign: str) -> None:
        pen = QPen(theme.color("ink"), 2.5)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.drawRect(rect.adjusted(3, 2, -2, -3))
        box = QRect(rect.right() - 16, rect.top(), 12, rect.height())
        font = painter.font()
        painter.setFont(self._font("reading", bold=True))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, sign)
        painter.setFont(font)
