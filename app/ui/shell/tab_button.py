"""A tab: the open one is tinted with a rule beneath."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from app.ui import theme


class TabButton(QAbstractButton):
    """One of several things to look at, of which one is open."""

    def __init__(self, words: str, *, is_open: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.is_open = is_open
        self.setText(words)
        self.setAccessibleName(words)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(44)

    def show_words(self, words: str) -> None:
        """Say something else."""
        self.setText(words)
        self.setAccessibleName(words)
        self.updateGeometry()
        self.update()

    def set_open(self, is_open: bool) -> None:
        """Whether this is the one that is open."""
        self.is_open = is_open
        self.update()

    def sizeHint(self) -> QSize:
        """As wide as its words."""
        return QSize(QFontMetrics(theme.font("value", bold=True)).horizontalAdvance(self.text()) + 32, 44)

    def minimumSizeHint(self) -> QSize:
        """A few letters."""
        return QSize(64, 44)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter opens."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Ground, words, rule, frame of the focus."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("here_tint" if self.is_open else "sheet"))
        painter.setPen(QPen(theme.color("hairline"), 1))
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        if self.is_open:
            painter.fillRect(QRect(0, self.height() - 5, self.width(), 5), theme.color("here"))
        if self.hasFocus():
            painter.setPen(QPen(theme.color("here"), 3))
            painter.drawRect(self.rect().adjusted(1, 1, -2, -2))
        painter.setPen(theme.color("ink"))
        font = theme.font("value", bold=self.is_open)
        painter.setFont(font)
        box = self.rect().adjusted(10, 0, -10, -4)
        shown = QFontMetrics(font).elidedText(self.text(), Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, shown)
