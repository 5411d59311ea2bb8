"""The boxes of a job: arrows go from box to box, Enter opens one. One painter draws them all."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from app.desk.board import Box
from app.ui import theme
from app.ui.marks import Mark
from app.ui.models.board import BoardModel
from app.ui.shell import board_painting as painting
from app.ui.shell.board_painting import LEFT, PITCH
from app.ui.shell.faces import HEIGHT as HEAD_HEIGHT
from app.ui.shell.faces import WIDTH as NAME_WIDTH
from app.ui.shell.faces import Faces
from app.ui.texts import text

Index = QModelIndex | QPersistentModelIndex
NARROWEST: Final = 126
WIDEST: Final = 260
NARROW_NAME: Final = 150
_NARROW: Final = 900


class BoardHead(QHeaderView):
    """Number and name of each test, its phases beneath; the two faces of the job at the left."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.phase_names: tuple[str, ...] = ()
        self.faces = Faces("board", self)
        self.setFixedHeight(HEAD_HEIGHT)
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(20)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)

    def paintSection(self, painter: QPainter, rect: QRect, logical: int) -> None:
        """One head."""
        painter.fillRect(rect, theme.color("sheet"))
        painter.setPen(theme.color("rule"))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        words = self.model().headerData(logical, Qt.Orientation.Horizontal) if logical else ""
        painter.setPen(theme.color("hairline"))
        painter.drawLine(rect.right(), rect.top() + 9, rect.right(), rect.bottom() - 9)
        painter.setPen(theme.color("ink"))
        font = theme.font("second", bold=True)
        painter.setFont(font)
        room = QRect(rect.left() + 10, rect.top() + 9, rect.width() - 14, 22)
        shown = QFontMetrics(font).elidedText(words or "", Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, LEFT, shown)
        painter.setFont(theme.font("label"))
        for place, name in enumerate(self.phase_names if logical else ()):
            box = QRect(rect.left() + 5 + place * PITCH, rect.top() + 33, PITCH, 20)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, name)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The heads, and the sheet right of the last one."""
        super().paintEvent(event)
        painter = QPainter(self.viewport())
        rest = self.viewport().rect().adjusted(self.length(), 0, 0, 0)
        painter.fillRect(rest, theme.color("sheet"))
        painter.setPen(theme.color("rule"))
        painter.drawLine(rest.bottomLeft(), rest.bottomRight())


class BoardTable(QTableView):
    """The table. `asked` tells the box that is to be opened, `moved` that another one is in hand."""

    asked = Signal(object)
    moved = Signal()
    typed = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.boards = BoardModel(self)
        self.phase = 0
        self._first = 1
        self.head = BoardHead(self)
        self.setHorizontalHeader(self.head)
        self.setModel(self.boards)
        self.setAccessibleName(text("verb.board"))
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setShowGrid(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setTabKeyNavigation(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(20)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        theme.current().changed.connect(self.lay_rows)
        # Other tests come with another job, whichever page is in front then.
        self.boards.rowsInserted.connect(lambda *_: self.lay_rows())

    # What is in hand

    def box(self) -> Box | None:
        """The box in hand."""
        group = self.boards.group(self.currentIndex())
        return group[self.phase] if self.phase < len(group) else None

    def mark_of(self, box: Box) -> Mark:
        """The mark of a box: the bar of what is being keyed where the worksheet stands."""
        keyed = (box.core_id, box.procedure_id) == self.boards.here and box.verdict == "not tested"
        return "being keyed" if keyed else box.verdict

    def go_to(self, core_id: str, procedure_id: str) -> bool:
        """Put a box in hand; false where it is not shown."""
        for row, line in enumerate(self.boards.board.lines):
            for column, group in enumerate(line.boxes, start=1):
                for phase, box in enumerate(group):
                    if box is not None and (box.core_id, box.procedure_id) == (core_id, procedure_id):
                        self._take(row, column, phase)
                        return True
        return False

    def go_to_first(self) -> None:
        """Put the first box in hand."""
        row = self._row_from(0, 1)
        if row is not None:
            self._take(row, 1, 0)

    def _take(self, row: int, column: int, phase: int) -> None:
        group = self.boards.line(row)
        boxes = group.boxes[column - 1] if group is not None and group.boxes else ()
        there = [place for place, box in enumerate(boxes) if box is not None]
        if not there:
            return
        self.phase = min(there, key=lambda place: abs(place - phase))
        self._show_column(column)
        self.setCurrentIndex(self.boards.index(row, column))
        self.viewport().update()
        self.moved.emit()

    def _row_from(self, row: int, step: int) -> int | None:
        """The nearest row with boxes from `row` on in that direction."""
        while 0 <= row < self.boards.rowCount():
            line = self.boards.line(row)
            if line is not None and line.boxes:
                return row
            row += step
        return None

    # Keys and pointer

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows by box, pages by row, Enter opens; letters are handed on to whoever searches."""
        key, index = Qt.Key(event.key()), self.currentIndex()
        sideways = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        page = max(1, self.viewport().height() // (_row_height() + 10) - 1)
        rows = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1, Qt.Key.Key_PageUp: -page, Qt.Key.Key_PageDown: page}
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.box() is not None:
                self.asked.emit(self.box())
        elif key in sideways:
            self._sideways(sideways[key])
        elif key in rows:
            self._by_rows(index.row() + rows[key], 1 if rows[key] > 0 else -1)
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            last = key == Qt.Key.Key_End
            self._by_rows(self.boards.rowCount() - 1 if last else 0, -1 if last else 1)
        elif event.text().isprintable() and event.text().strip() and not _modified(event):
            self.typed.emit(event.text())
        else:
            event.ignore()

    def _by_rows(self, row: int, step: int) -> None:
        row = min(max(row, 0), self.boards.rowCount() - 1)
        found = self._row_from(row, step)
        if found is None:
            found = self._row_from(row, -step)
        if found is not None:
            self._take(found, max(1, self.currentIndex().column()), self.phase)

    def _sideways(self, step: int) -> None:
        index = self.currentIndex()
        group, phase = self.boards.group(index), self.phase + step
        while 0 <= phase < len(group) and group[phase] is None:
            phase += step
        if 0 <= phase < len(group):
            self._take(index.row(), index.column(), phase)
        elif 1 <= index.column() + step <= len(self.boards.board.tests):
            self._take(index.row(), index.column() + step, 0 if step > 0 else len(group) - 1)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch takes a box in hand; on the box in hand it opens it."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        index = self.indexAt(event.position().toPoint())
        before, group = self.box(), self.boards.group(index)
        if not group:
            return
        phase = int((event.position().x() - self.columnViewportPosition(index.column()) - 5) // PITCH)
        self._take(index.row(), index.column(), min(max(phase, 0), len(group) - 1))
        if before is not None and before == self.box():
            self.asked.emit(before)

    # Sizes

    def lay_rows(self) -> None:
        """Rows as tall as the density asks; headings lower."""
        vertical = self.verticalHeader()
        vertical.setDefaultSectionSize(_row_height())
        for row, line in enumerate(self.boards.board.lines):
            vertical.resizeSection(row, _heading_height() if line.is_position else _row_height())
        self.lay_columns()

    def lay_columns(self) -> None:
        """As many tests side by side as there is room for; the box in hand is among them."""
        board = self.boards.board
        if not board.tests:
            return
        name = NAME_WIDTH if self.width() >= _NARROW else NARROW_NAME
        self.head.faces.setFixedWidth(name)
        least = max(NARROWEST, 10 + PITCH * board.widest)
        room = self.viewport().width() - name
        fitting = min(len(board.tests), max(1, room // least))
        self._first = min(self._first, len(board.tests) - fitting + 1)
        wide = min(max(least, room // fitting), max(WIDEST, least))
        self.setColumnWidth(0, name)
        for column in range(1, len(board.tests) + 1):
            self.setColumnHidden(column, not self._first <= column < self._first + fitting)
            self.setColumnWidth(column, wide)

    def _show_column(self, column: int) -> None:
        if self.isColumnHidden(column):
            fitting = sum(not self.isColumnHidden(one) for one in range(1, self.boards.columnCount()))
            self._first = column if column < self._first else column - fitting + 1
            self.lay_columns()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Columns go with the width."""
        super().resizeEvent(event)
        self.lay_columns()
        box = self.currentIndex().column()
        if box > 0:
            self._show_column(box)

    # Drawing

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The rows that are seen: headings over all columns, names, boxes."""
        painter = QPainter(self.viewport())
        painter.fillRect(self.viewport().rect(), theme.color("sheet"))
        columns = [
            (column, self.columnViewportPosition(column), self.columnWidth(column))
            for column in range(self.boards.columnCount())
            if not self.isColumnHidden(column)
        ]
        low = self.viewport().height()
        for row in range(max(0, self.rowAt(0)), self.boards.rowCount()):
            top, high = self.rowViewportPosition(row), self.rowHeight(row)
            if top > low:
                break
            line = self.boards.board.lines[row]
            if line.is_position:
                box = QRectF(0, top, self.viewport().width(), high)
                painting.paint_heading(painter, box, line, name_width=self.columnWidth(0))
            else:
                self._paint_row(painter, row, QRect(0, top, 0, high), columns)

    def _paint_row(
        self, painter: QPainter, row: int, place: QRect, columns: list[tuple[int, int, int]]
    ) -> None:
        line, current = self.boards.board.lines[row], self.currentIndex()
        dressed = {"palette_name": theme.current().palette.name, "ratio": self.devicePixelRatioF()}
        for column, left, wide in columns:
            size = (wide, place.height())
            if column == 0:
                picture = painting.name_picture(line.words, line.second, size=size, **dressed)
                painter.drawImage(left, place.top(), picture)
                continue
            index = self.boards.index(row, column)
            in_hand = index == current
            said = self.boards.said(index)
            shown = tuple(
                None if box is None else (self.mark_of(box), box.stale) for box in line.boxes[column - 1]
            )
            picture = painting.cell_picture(
                shown, said.words, strong=said.strong, size=size, in_hand=in_hand, **dressed
            )
            painter.drawImage(left, place.top(), picture)
            if in_hand:
                corner = left + painting.MARKS_LEFT + self.phase * PITCH
                box = QRect(corner, place.top() + painting.top_of(place.height()), PITCH - 1, 29)
                painting.paint_frame(painter, box, focused=self.hasFocus())


def _row_height() -> int:
    return theme.density().set_cell + 14


def _heading_height() -> int:
    return max(34, theme.density().set_cell - 10)


def _modified(event: QKeyEvent) -> bool:
    return bool(event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier))
