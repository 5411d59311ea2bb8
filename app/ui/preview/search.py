"""The two lines at the head of the preview: words to find, and the number of a page."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetrics, QKeyEvent

from app.ui import theme
from app.ui.shell.fields import PlainLine
from app.ui.texts import text


class FindLine(PlainLine):
    """Enter goes to the next place, with Shift to the one before; Escape back to the paper."""

    stepped = Signal(int)
    left_for_paper = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setFixedHeight(46)
        self.setMinimumWidth(120)
        self.setPlaceholderText(text("preview.find"))
        self.setAccessibleName(text("preview.find"))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter, arrows and Escape."""
        back = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.stepped.emit(-1 if back else 1)
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.stepped.emit(-1 if event.key() == Qt.Key.Key_Up else 1)
        elif event.key() == Qt.Key.Key_Escape:
            self.clear()
            self.left_for_paper.emit()
        else:
            super().keyPressEvent(event)


class PageLine(PlainLine):
    """The page in hand; a number and Enter go to another."""

    page_asked = Signal(int)
    left_for_paper = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setFixedHeight(46)
        self.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self._page, self._count = 0, 0
        self.setAccessibleName(text("preview.page_line", page=0, all=0))

    def show_page(self, page: int, count: int) -> None:
        """Which page is in hand, of how many."""
        self._page, self._count = page, count
        self.setAccessibleName(text("preview.page_line", page=page, all=count))
        self._tell()
        wide = QFontMetrics(theme.font("value")).horizontalAdvance(
            text("preview.page", page=count, all=count)
        )
        self.setFixedWidth(wide + 34)

    def _tell(self) -> None:
        words = str(self._page) if self.hasFocus() else text("preview.page", page=self._page, all=self._count)
        self.setText(words)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The bare number, chosen, to be typed over."""
        super().focusInEvent(event)
        self._tell()
        self.selectAll()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Left without Enter, the page in hand stays."""
        super().focusOutEvent(event)
        self._tell()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes there, or says the page in hand again where there is none such; Escape leaves."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            typed = self.text().strip()
            if typed.isascii() and typed.isdigit() and 1 <= int(typed) <= self._count:
                self.page_asked.emit(int(typed))
            else:
                self._tell()
                self.selectAll()
        elif event.key() == Qt.Key.Key_Escape:
            self.left_for_paper.emit()
        else:
            super().keyPressEvent(event)
