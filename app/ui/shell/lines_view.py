"""A list of lines to go through by arrows: the line in hand tinted, with a bar; Enter chooses it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRectF,
    Qt,
    Signal,
)
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QListView, QStyleOptionViewItem, QWidget

from app.ui import theme

Index = QModelIndex | QPersistentModelIndex
LINE_ROLE: Final = int(Qt.ItemDataRole.UserRole) + 1


class LinesModel(QAbstractListModel):
    """Lines of one kind; a line that only changed keeps its place."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lines: list[Any] = []

    def put(self, new: Sequence[Any]) -> None:
        """Show other lines."""
        common = min(len(new), len(self.lines))
        if len(new) < len(self.lines):
            self.beginRemoveRows(QModelIndex(), len(new), len(self.lines) - 1)
            del self.lines[len(new) :]
            self.endRemoveRows()
        changed = [row for row in range(common) if new[row] != self.lines[row]]
        self.lines[:common] = new[:common]
        if len(new) > common:
            self.beginInsertRows(QModelIndex(), common, len(new) - 1)
            self.lines.extend(new[common:])
            self.endInsertRows()
        if changed:
            self.dataChanged.emit(self.index(changed[0]), self.index(changed[-1]), [])

    def line(self, row: int) -> Any:
        """The line of a row; None where there is none."""
        return self.lines[row] if 0 <= row < len(self.lines) else None

    def words(self, line: Any) -> str:
        """All of a line for who listens to the screen."""
        return str(line)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Lines."""
        return 0 if parent.isValid() else len(self.lines)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words, and the line itself."""
        if not index.isValid() or not 0 <= index.row() < len(self.lines):
            return None
        line = self.lines[index.row()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return self.words(line)
        return line if role == LINE_ROLE else None


class LinesView(QListView):
    """Arrows take a line in hand, Enter or a second touch chooses it."""

    chosen = Signal(int)
    in_hand = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QListView.Shape.NoFrame)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setMouseTracking(False)
        self.dress()
        theme.current().changed.connect(self.dress)

    @property
    def row(self) -> int:
        """The row in hand; -1 where there is none."""
        return self.currentIndex().row()

    def take(self, row: int) -> None:
        """Take a row in hand, the nearest one there is."""
        count = self.model().rowCount() if self.model() is not None else 0
        if count:
            self.setCurrentIndex(self.model().index(min(max(row, 0), count - 1), 0))

    def dress(self) -> None:
        """Take the colours of the theme in force."""
        p = theme.current().palette
        self.setStyleSheet(f"QListView {{ background: {p.sheet}; color: {p.ink}; border: 0; }}")
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter chooses; letters search nothing here; keys of the page go on to it."""
        # Qt: an arrow has no text at all, and no text counts as printable.
        is_letter = bool(event.text()) and event.text().isprintable()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            if self.row >= 0:
                self.chosen.emit(self.row)
        elif event.modifiers() & Qt.KeyboardModifier.ControlModifier or is_letter:
            event.ignore()
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch takes a line in hand; a second one on it chooses."""
        before = self.row
        super().mousePressEvent(event)
        row = self.indexAt(event.position().toPoint()).row()
        if row >= 0 and row == before:
            self.chosen.emit(row)

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Tell which line is in hand now."""
        super().currentChanged(current, previous)
        self.viewport().update()
        self.in_hand.emit(current.row())

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The bar grows; where nothing is in hand the first line is taken."""
        super().focusInEvent(event)
        if self.row < 0:
            self.take(0)
        self.viewport().update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lines break anew at another width."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The lines, then the frame of the focus."""
        super().paintEvent(event)
        if self.hasFocus():
            painter = QPainter(self.viewport())
            pen = QPen(theme.color("here"), 3)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.drawRect(QRectF(self.viewport().rect()).adjusted(1.5, 1.5, -1.5, -1.5))


def paint_ground(painter: QPainter, option: QStyleOptionViewItem, index: Index) -> QRectF:
    """Ground, bar and rule of a line; the room that is left for what stands in it."""
    box = QRectF(option.rect)
    view = option.widget
    current = isinstance(view, LinesView) and view.row == index.row()
    painter.fillRect(box, theme.color("here_tint" if current else "sheet"))
    if current:
        painter.fillRect(QRectF(box.left(), box.top(), 8, box.height()), theme.color("here"))
    painter.setPen(QPen(theme.color("hairline"), 1))
    painter.drawLine(box.bottomLeft(), box.bottomRight())
    return box.adjusted(16, 8, -12, -8)


def width_of(option: QStyleOptionViewItem) -> int:
    """The width that a line has in its list."""
    view = option.widget
    return view.viewport().width() if isinstance(view, QListView) else 400
