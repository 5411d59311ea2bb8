"""The sets at the left: a grid of marks, moved through by arrows, opened by Enter."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from app.desk import Change
from app.ui import marks, theme
from app.ui.models.sets import CELL_ROLE, SetCell, SetsModel, waiting
from app.ui.shell.lettering import Panel, Words
from app.ui.texts import text

Index = QModelIndex | QPersistentModelIndex
WIDTH: Final = 216
LABEL_WIDTH: Final = 76
NARROW_LABEL_WIDTH: Final = 60
TALL_EXTRA: Final = 26
_WAITING_LINES: Final = 6


def is_long(cell: SetCell) -> bool:
    """Whether the name of a position wants a line of its own."""
    wide = QFontMetricsF(theme.font("value", bold=True)).horizontalAdvance(cell.words)
    return cell.kind == "position" and wide > LABEL_WIDTH - 10


def is_tall(index: Index) -> bool:
    """Whether the row of a cell is a heading with a long name."""
    return is_long(index.sibling(index.row(), 0).data(CELL_ROLE))


class SetsDelegate(QStyledItemDelegate):
    """Draws headings, labels and marks; a plum frame where the worksheet stands."""

    here_core_id = ""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """One cell."""
        cell: SetCell = index.data(CELL_ROLE)
        view = option.widget
        current = isinstance(view, QTableView) and view.currentIndex() == index
        focused = current and isinstance(view, QTableView) and view.hasFocus()
        box = QRectF(option.rect)
        painter.save()
        here = cell.kind == "place" and cell.core_id == self.here_core_id
        if not is_tall(index):
            painter.fillRect(box, theme.color("here_tint" if here or focused else "sheet"))
        heading = cell.kind in ("position", "phase")
        if is_tall(index):
            # The name of the position has a line of its own over the whole row; the phases stand beneath.
            box.setTop(box.bottom() - theme.density().set_cell + 10)
            painter.fillRect(box, theme.color("here_tint" if focused else "sheet"))
        painter.setPen(QPen(theme.color("rule" if heading else "hairline"), 2 if heading else 1))
        if cell.kind != "empty" or index.row() > 0:
            painter.drawLine(box.bottomLeft(), box.bottomRight())
        self._content(painter, box, cell, here=here)
        if here or focused:
            pen = QPen(theme.color("here"), 3 if focused else 2)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.drawRect(box.adjusted(1.5, 1.5, -1.5, -2))
        painter.restore()

    def _content(self, painter: QPainter, box: QRectF, cell: SetCell, *, here: bool) -> None:
        painter.setPen(theme.color("ink"))
        if cell.kind in ("position", "core"):
            font = theme.font("value" if cell.kind == "position" else "second", bold=cell.kind == "position")
            painter.setFont(font)
            room = box.adjusted(9, 0, -2, 0)
            if cell.kind == "position" and is_long(cell):
                room = QRectF(9, box.top() - TALL_EXTRA, WIDTH - 16, TALL_EXTRA + 4)
            shown = QFontMetricsF(font).elidedText(cell.words, Qt.TextElideMode.ElideRight, room.width())
            painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, shown)
        elif cell.kind == "phase":
            painter.setFont(theme.font("second", bold=True))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, cell.words)
        elif cell.verdict is not None:
            ground = theme.color("here_tint" if here else "sheet")
            mark = "being keyed" if here and cell.verdict == "not tested" else cell.verdict
            marks.paint(painter, mark, QPointF(box.center()), 14, ground=ground)
        else:
            painter.setFont(theme.font("second"))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, cell.words)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:  # noqa: ARG002
        """As tall as the density asks."""
        return QSize(44, theme.density().set_cell)


class SetsGrid(QTableView):
    """The grid. Arrows move, Enter opens, a click opens at once."""

    asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(text("sets.heading"))
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setShowGrid(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setTabKeyNavigation(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.horizontalHeader().hide()
        self.verticalHeader().hide()
        self.horizontalHeader().setMinimumSectionSize(24)
        self.verticalHeader().setMinimumSectionSize(24)
        self.clicked.connect(self._ask)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter opens what is in hand."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._ask(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def _ask(self, index: Index) -> None:
        if index.isValid():
            self.asked.emit(index.data(CELL_ROLE))


class SetsPanel(Panel):
    """Sets of the job with the marks of their cores, and beneath what waits for a decision."""

    view_name = "sets"

    core_asked = Signal(str)
    ct_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("sheet", rules="right", weight=2, parent=parent)
        self.setFixedWidth(WIDTH)
        self.model = SetsModel(self)
        self.grid = SetsGrid()
        self.delegate = SetsDelegate(self.grid)
        self.grid.setItemDelegate(self.delegate)
        self.grid.setModel(self.model)
        self.grid.asked.connect(self._open)
        self._waiting = Words(role="second")
        self._waiting_head = Words(text("sets.waiting"), role="second", bold=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 2, 0)
        column.setSpacing(0)
        column.addWidget(self.grid, 1)
        foot = QWidget()
        inner = QVBoxLayout(foot)
        inner.setContentsMargins(9, 6, 6, 8)
        inner.setSpacing(2)
        inner.addWidget(self._waiting_head)
        inner.addWidget(self._waiting)
        column.addWidget(foot)
        theme.current().changed.connect(self._size)

    def show_change(self, change: Change, here_core_id: str) -> None:
        """Draw the marks again."""
        self.model.put(change.view)
        self._size()
        self.set_here(here_core_id)
        lines = waiting(change.view)
        shown = lines[:_WAITING_LINES]
        if len(lines) > len(shown):
            shown.append(text("sets.waiting_more", count=len(lines) - len(shown)))
        self._waiting.setText("\n".join(shown))
        self._waiting_head.setVisible(bool(lines))

    def set_here(self, core_id: str) -> None:
        """Mark the core that the page shows."""
        if core_id != self.delegate.here_core_id or not self.grid.currentIndex().isValid():
            self.delegate.here_core_id = core_id
            index = self.model.index_of(core_id)
            if index.isValid():
                self.grid.setCurrentIndex(index)
        self.grid.viewport().update()

    def first_focus(self) -> None:
        """The grid takes the arrows."""
        self.grid.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _size(self) -> None:
        phases = max(1, self.model.columnCount() - 1)
        label = LABEL_WIDTH if phases <= 3 else NARROW_LABEL_WIDTH
        wide = max(38, (WIDTH - 4 - label) // phases)
        self.grid.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        for column in range(self.model.columnCount()):
            self.grid.setColumnWidth(column, wide if column else label)
        for row in range(self.model.rowCount()):
            tall = TALL_EXTRA if is_tall(self.model.index(row, 0)) else 0
            self.grid.setRowHeight(row, theme.density().set_cell - (10 if tall else 0) + tall)

    def _open(self, cell: SetCell) -> None:
        if cell.kind in ("place", "core"):
            self.core_asked.emit(cell.core_id)
        elif cell.kind in ("position", "phase"):
            self.ct_asked.emit(cell.ct_id)
