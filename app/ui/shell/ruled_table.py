"""A table as this program draws them: rule under the heads, banded rows, a bar at the row in hand."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.ui import marks, theme

Index = QModelIndex | QPersistentModelIndex
MARK_ROLE: Final = int(Qt.ItemDataRole.UserRole)


class RowDelegate(QStyledItemDelegate):
    """Draws a cell as text, or as a verdict mark with its word where the model names one."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Band, bar, mark and text."""
        painter.save()
        view = option.widget
        current = isinstance(view, QTableView) and view.currentIndex().row() == index.row()
        focused = current and isinstance(view, QTableView) and view.hasFocus()
        ground = "here_tint" if current else ("band" if index.row() % 2 else "sheet")
        painter.fillRect(option.rect, theme.color(ground))
        box = QRectF(option.rect)
        if current and index.column() == 0:
            painter.fillRect(
                QRectF(box.left(), box.top(), 8 if focused else 4, box.height()), theme.color("here")
            )
        left = box.left() + 14
        mark = index.data(MARK_ROLE)
        if mark:
            marks.paint(painter, mark, QPointF(left + 14, box.center().y()), 13, ground=theme.color(ground))
            left += 36
        bold = bool(mark) and marks.is_bold(mark)
        font = theme.font("value", bold=bold or (current and index.column() == 0))
        painter.setFont(font)
        painter.setPen(theme.color("ink"))
        right = bool((index.data(Qt.ItemDataRole.TextAlignmentRole) or 0) & int(Qt.AlignmentFlag.AlignRight))
        room = QRectF(left, box.top(), box.right() - left - (14 if right else 4), box.height())
        shown = QFontMetricsF(font).elidedText(
            str(index.data() or ""), Qt.TextElideMode.ElideRight, room.width()
        )
        side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
        painter.drawText(room, side | Qt.AlignmentFlag.AlignVCenter, shown)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:  # noqa: ARG002
        """As high as a finger wants."""
        text_wide = QFontMetricsF(theme.font("value")).horizontalAdvance(str(index.data() or ""))
        return QSize(int(text_wide) + (64 if index.data(MARK_ROLE) else 30), 44)


class RuledTable(QTableView):
    """Rows to choose from by arrows and Enter, or by one click on a row that is already in hand."""

    chosen = Signal(int)
    typed = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setItemDelegate(RowDelegate(self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setShowGrid(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setTabKeyNavigation(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(44)
        head = self.horizontalHeader()
        head.setHighlightSections(False)
        head.setSectionsClickable(False)
        head.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        head.setFixedHeight(40)
        self.dress()
        theme.current().changed.connect(self.dress)

    def dress(self) -> None:
        """Take colours and letters of the theme in force."""
        p = theme.current().palette
        self.setStyleSheet(
            f"QTableView {{ background: {p.sheet}; color: {p.ink}; border: 0; }}"
            f"QHeaderView {{ background: {p.sheet}; }}"
            f"QHeaderView::section {{ background: {p.sheet}; color: {p.ink}; border: 0;"
            f" border-bottom: 2px solid {p.rule}; padding: 0 4px 0 14px; }}"
        )
        self.horizontalHeader().setFont(theme.font("second", bold=True))
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter chooses; letters are handed on to whoever searches; the rest moves."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.choose_current()
        elif (
            event.text()
            and event.text().isprintable()
            and not event.modifiers()
            & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
        ):
            self.typed.emit(event.text())
        else:
            super().keyPressEvent(event)

    def choose_current(self) -> None:
        """Choose the row in hand."""
        if self.currentIndex().isValid():
            self.chosen.emit(self.currentIndex().row())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click takes a row in hand; a second one on the same row chooses it."""
        before = self.currentIndex().row()
        super().mousePressEvent(event)
        row = self.indexAt(event.position().toPoint()).row()
        if row >= 0 and row == before:
            self.choose_current()

    def currentChanged(self, current: Index, previous: Index) -> None:
        """The whole row is in hand, so both rows are drawn again."""
        super().currentChanged(current, previous)
        self.viewport().update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The bar at the row in hand grows."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.model() is not None and self.model().rowCount():
            self.setCurrentIndex(self.model().index(0, 0))
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The rows, then the frame of the focus."""
        super().paintEvent(event)
        if self.hasFocus():
            painter = QPainter(self.viewport())
            painter.setPen(QPen(theme.color("here"), 3))
            painter.drawRect(QRectF(self.viewport().rect()).adjusted(1.5, 1.5, -1.5, -1.5))
