"""Help: every word of the program with its meaning, formula and source, found by typing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter
from PySide6.QtWidgets import QHBoxLayout, QStyledItemDelegate, QStyleOptionViewItem, QVBoxLayout, QWidget

from app.ui import theme
from app.ui.models.glossary import Entry, GlossaryModel
from app.ui.pages.jobs import SearchField
from app.ui.shell.lettering import Line, Panel
from app.ui.shell.lines_view import LINE_ROLE, Index, LinesView, paint_ground, width_of
from app.ui.shell.part import Part
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow

_NAME_HEIGHT: Final = 24
_WRAP: Final = int(Qt.TextFlag.TextWordWrap)
_EDGE: Final = 28


class EntryDelegate(QStyledItemDelegate):
    """The word in bold with what it is, its meaning beneath."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """One entry."""
        entry: Entry = index.data(LINE_ROLE)
        painter.save()
        room = paint_ground(painter, option, index)
        bold = theme.font("value", bold=True)
        wide = QFontMetrics(bold).horizontalAdvance(entry.name) + 16
        painter.setPen(theme.color("ink"))
        painter.setFont(bold)
        painter.drawText(QRect(int(room.left()), int(room.top()), wide, _NAME_HEIGHT), 0, entry.name)
        painter.setPen(theme.color("label"))
        painter.setFont(theme.font("label"))
        kind = QRect(int(room.left()) + wide, int(room.top()) + 2, int(room.width()) - wide, _NAME_HEIGHT)
        painter.drawText(kind, 0, text(f"help.kind.{entry.kind}"))
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("finding"))
        painter.drawText(room.adjusted(0, _NAME_HEIGHT, 0, 0).toRect(), _WRAP, entry.words)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As tall as the words in the width of the list."""
        wide = width_of(option)
        box = QRect(0, 0, wide - _EDGE, 9999)
        words = QFontMetrics(theme.font("finding")).boundingRect(box, _WRAP, index.data(LINE_ROLE).words)
        return QSize(wide, _NAME_HEIGHT + words.height() + 18)


class HelpPage(QWidget):
    """A field to search, and the entries beneath."""

    page_id = "help"

    def __init__(self, _window: MainWindow) -> None:
        super().__init__()
        self.model = GlossaryModel(self)
        self.search = SearchField()
        self.search.setAccessibleName(text("help.search"))
        self.search.setPlaceholderText(text("help.search"))
        self.search.setFixedHeight(46)
        self.count = Line(role="second")
        self.list = LinesView()
        self.list.setAccessibleName(text("help.heading"))
        self.list.setItemDelegate(EntryDelegate(self.list))
        self.list.setModel(self.model)
        self.search.textChanged.connect(self._look)
        self.search.moved.connect(lambda step: self.list.take(self.list.row + step))
        self.search.entered.connect(self.list.setFocus)
        head = Panel("sheet", rules="bottom", weight=2)
        row = QHBoxLayout(head)
        row.setContentsMargins(16, 12, 16, 10)
        row.addWidget(Line(text("help.heading"), role="heading", bold=True), 3)
        row.addWidget(self.count, 1)
        row.addWidget(self.search, 3)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(self.list, 1)
        self._look("")

    def first_focus(self) -> None:
        """Letters typed at once search."""
        self.search.setFocus()
        self.search.selectAll()

    def parts(self) -> list[Part]:
        """The search and the list."""
        return [Part(self.search, self.search.setFocus), Part(self.list, self.list.setFocus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _look(self, typed: str) -> None:
        self.model.look_for(typed)
        count = self.model.rowCount()
        found = text("help.found", count=count, all=len(self.model.all)) if count else text("help.nothing")
        self.count.set_text(found)
        self.list.scrollToTop()
