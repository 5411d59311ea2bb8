"""The table of rows with the row in hand lying in it."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QHeaderView, QTableView, QWidget

from app.ui import theme
from app.ui.texts import text
from app.ui.worksheet.entry_row import EntryRow
from app.ui.worksheet.fieldline import Column
from app.ui.worksheet.rows_delegate import COMMENT_PX, RowsDelegate
from app.ui.worksheet.rows_model import RowsModel
from app.ui.worksheet.sheet import Sheet

_REASON_HEIGHT = 22
_HEAD_PX, _READER_PX = 32, 16
_LEAST_COLUMN = 45
_PADDING, _TIGHT_PADDING = 15, 8
# From the roomiest to the tightest: whether headings are broken, and the space beside them.
_FORMS: Final = ((False, _PADDING), (False, _TIGHT_PADDING), (True, _TIGHT_PADDING))
# The name of a row is drawn in two lines where it is in hand, and smaller where it is not.
_MOST_ROW_WIDE, _MOST_ROW, _MOST_ROW_BROKEN = 330, 190, 150


class RowsTable(QTableView):
    """Settled rows to look at, and one row in hand to type in. A touch on a row takes it in hand."""

    row_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows = RowsModel()
        self.setModel(self.rows)
        self._delegate = RowsDelegate(self.rows, self)
        self.setItemDelegate(self._delegate)
        self._row_in_hand = ""
        self._relaid = True
        # The least width in which everything that is keyed is seen.
        self.keyed_px = 0
        self.entry = EntryRow(self.viewport())
        self._dress_table()

    def _dress_table(self) -> None:
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setSelectionMode(QTableView.SelectionMode.NoSelection)
        self.setEditTriggers(QTableView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QTableView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QTableView.ScrollMode.ScrollPerPixel)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setAccessibleName(text("rows.table"))
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(18)
        head = self.horizontalHeader()
        head.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        head.setHighlightSections(False)
        head.setSectionsClickable(False)
        head.setMinimumSectionSize(30)
        self.dress()

    def dress(self) -> None:
        """Take colours, fonts and sizes of the theme in force."""
        p = theme.current().palette
        self.setStyleSheet(
            f"QTableView {{ background: {p.sheet}; color: {p.ink}; border: 0; }}"
            f"QHeaderView {{ background: {p.sheet}; }}"
            f"QHeaderView::section {{ background: {p.sheet}; color: {p.ink}; border: 0;"
            f" border-bottom: 2px solid {p.rule}; padding: 0 {_TIGHT_PADDING}px 0 0; }}"
        )
        self.horizontalHeader().setFont(theme.font("second", bold=True))
        self._size_head()
        self._delegate.dress()
        self.entry.dress()
        self._size_rows()

    # Content

    def show_sheet(self, sheet: Sheet) -> None:
        """Show another content; the row in hand stays where it is."""
        columns_changed = sheet.columns != self.rows.columns
        typed = [c.quantity.quantity_id for c in sheet.columns if c.kind == "typed" and c.quantity]
        required = [s.quantity_id for s in sheet.procedure.columns if s.required and s.quantity_id in typed]
        self._delegate.bold_quantity_id = required[-1] if required else ""
        lines_before = [line.is_reason for line in self.rows.lines]
        self.rows.show_sheet(sheet)
        if columns_changed:
            self._size_columns()
        if columns_changed or lines_before != [line.is_reason for line in self.rows.lines]:
            self._span_reasons()
            self._size_rows()
            self._relaid = True

    def show_comments(self, by_row: dict[str, bool]) -> None:
        """Mark the rows that are commented on; the value says whether an answer is waited for."""
        if by_row != self.rows.comments:
            self.rows.show_comments(by_row)
            self.entry.show_comments(by_row)
            self._size_columns()

    @property
    def row_in_hand(self) -> str:
        """The row that is typed in."""
        return self._row_in_hand

    def take_in_hand(self, row: str) -> None:
        """Lay the entry row over another row."""
        moved = row != self._row_in_hand or self._relaid
        self._relaid = False
        if row != self._row_in_hand:
            self._row_in_hand = row
            self._size_rows()
        line = self.rows.line_of(row)
        self.entry.setVisible(line >= 0)
        if not moved:
            return
        if line >= 0:
            self._scroll_to(line)
        # Qt: laid out now, not by a timer later, so that one change is one repaint (6.11).
        self.executeDelayedItemsLayout()
        self.updateEditorGeometries()

    def _scroll_to(self, line: int) -> None:
        """Show a row with the reason beneath it, and no row above them cut in half."""
        lines = self.rows.lines
        if line + 1 < len(lines) and lines[line + 1].is_reason:
            self.scrollTo(self.rows.index(line + 1, 0))
        self.scrollTo(self.rows.index(line, 0))
        first = self.rowAt(0)
        cut = self.rowViewportPosition(first) if first >= 0 else 0
        hidden = self.rowHeight(first) + cut
        if cut < 0 and self.rowViewportPosition(line) >= hidden:
            self.verticalScrollBar().setValue(self.verticalScrollBar().value() + hidden)

    # Sizes

    def content_height(self) -> int:
        """Head and all rows, the one in hand at its own height."""
        return self.horizontalHeader().height() + self.verticalHeader().length() + 4

    def _size_head(self) -> None:
        """Further lines in the head where instruments are named, or where headings are broken."""
        lines = max((len(self.rows.head_lines(column)) for column in self.rows.columns), default=1)
        self.horizontalHeader().setFixedHeight(_HEAD_PX + _READER_PX * (lines - 1))

    def _span_reasons(self) -> None:
        self.clearSpans()
        count = self.rows.columnCount()
        for index, line in enumerate(self.rows.lines):
            if line.is_reason and count > 1:
                self.setSpan(index, 0, 1, count)

    def _size_rows(self) -> None:
        density = theme.density()
        for index, line in enumerate(self.rows.lines):
            here = line.row.row == self._row_in_hand and not line.is_reason
            tall = density.entry_row if here else _REASON_HEIGHT if line.is_reason else density.settled_row
            if self.rowHeight(index) != tall:
                self.setRowHeight(index, tall)
        self.updateEditorGeometries()

    def _size_columns(self) -> None:
        wide = self.viewport().width()
        needs = self._fitted(wide)
        self._size_head()
        spare = wide - sum(needs)
        grows = [i for i, c in enumerate(self.rows.columns) if c.kind not in ("row", "verdict")]
        for index in grows:
            needs[index] += max(0, spare) // max(1, len(grows))
        for index, width in enumerate(needs):
            self.setColumnWidth(index, width)
        self.updateEditorGeometries()

    def _fitted(self, wide: int) -> list[int]:
        """Widths in the least tight form in which all columns fit; else in which what is keyed fits."""
        keyed_count = sum(1 for column in self.rows.columns if column.kind in ("row", "typed"))
        tried = [self._needs(*form) for form in _FORMS]
        keyed = [sum(needs[:keyed_count]) for needs in tried]
        self.keyed_px = keyed[-1]
        fits = [needed <= wide for needed in (*map(sum, tried), *keyed)]
        # It scrolls either way: then no height is spent on it.
        chosen = fits.index(True) % len(_FORMS) if True in fits else 1
        self.rows.break_heads(broken=_FORMS[chosen][0])
        return tried[chosen]

    def _needs(self, broken: bool, padding: int) -> list[int]:
        return [self._need(column, padding, broken=broken) for column in self.rows.columns]

    def _need(self, column: Column, padding: int, *, broken: bool) -> int:
        metrics = QFontMetrics(theme.font("second", bold=True))
        lines = self.rows.head_lines(column, broken=broken)
        head = max(metrics.horizontalAdvance(line) for line in lines) + padding
        if column.kind == "row":
            widest = max((metrics.horizontalAdvance(line.row.words) for line in self.rows.lines), default=0)
            beside = COMMENT_PX if self.rows.comments else 0
            in_full = _MOST_ROW if self.viewport().width() < 800 else _MOST_ROW_WIDE
            most = _MOST_ROW_BROKEN if broken else in_full
            return max(head, min(widest + 24, most), 29 + padding) + beside
        if column.kind == "typed":
            choices = column.quantity.choices if column.quantity else ()
            reading = QFontMetrics(theme.font("reading"))
            widest = max((reading.horizontalAdvance(choice.words) + 16 for choice in choices), default=76)
            return max(head, widest)
        return max(head, _LEAST_COLUMN + padding)

    # Qt

    def updateEditorGeometries(self) -> None:
        """Keep the entry row over its row, whatever is scrolled or resized."""
        super().updateEditorGeometries()
        line = self.rows.line_of(self._row_in_hand)
        if line < 0:
            return
        top, tall = self.rowViewportPosition(line), self.rowHeight(line)
        wide = max(self.viewport().width(), self.horizontalHeader().length())
        self.entry.setGeometry(-self.horizontalOffset(), top, wide, tall)
        boxes = [
            QRect(self.horizontalHeader().sectionPosition(i), 0, self.columnWidth(i), tall)
            for i in range(len(self.rows.columns))
        ]
        self.entry.place(list(zip(self.rows.columns, boxes, strict=True)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the width out anew."""
        super().resizeEvent(event)
        self._size_columns()
        line = self.rows.line_of(self._row_in_hand)
        if line >= 0:
            self._scroll_to(line)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Qt: keys that no field took come by here on their way to the page; a view would eat them (6.11)."""
        event.ignore()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch takes the row in hand; that is all a touch does here."""
        line = self.rowAt(int(event.position().y()))
        if line >= 0:
            self.row_chosen.emit(self.rows.lines[line].row.row)
        event.accept()
