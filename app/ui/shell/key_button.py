"""Buttons of title block, pages and dialogs: they take the focus by Tab and answer Enter."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QPainter, QPaintEvent, QPen, QShortcut
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import theme
from app.ui.widgets.keybutton import KeyButton


class VerbButton(KeyButton):
    """A button with its key that can be reached and pressed without a pointer."""

    def __init__(
        self, words: str, key: str = "", *, main: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(words, key, main=main, parent=parent)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Preferred)

        self._shortcut: QShortcut | None = None

    @property
    def answered_key(self) -> str:
        """The key that presses it; "" where none does."""
        return self._key if self._shortcut is not None else ""

    def answer_key(self) -> None:
        """Let the key named on the button press it."""
        # Qt: a button's own shortcut clicks only after a tenth of a second (6.11).
        self._shortcut = QShortcut(QKeySequence(self._key), self)
        self._shortcut.activated.connect(self.click)

    def minimumSizeHint(self) -> QSize:
        """Never smaller than its words."""
        return QSize(self.sizeHint().width(), 44)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses, as Space does."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)


class PlainButton(VerbButton):
    """A button of one line, for places where a key of its own would be too much."""

    def sizeHint(self) -> QSize:
        """As wide as its words."""
        return QSize(super().sizeHint().width(), 44)

    def minimumSizeHint(self) -> QSize:
        """Never narrower than its words."""
        return QSize(self.sizeHint().width(), 44)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw frame and words; the reason instead where it is not possible now."""
        painter = QPainter(self)
        focus = self.hasFocus()
        painter.fillRect(self.rect(), theme.color("here_tint" if focus or self.isDown() else "sheet"))
        pen = QPen(theme.color("here" if focus else "ink"), 3 if focus else 1.5)
        if not self.isEnabled():
            pen = QPen(theme.color("border"), 1, Qt.PenStyle.DashLine)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.drawRect(self.rect().adjusted(1, 1, -2, -2))
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("value"))
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self._reason or self.text())


class FlatButton(VerbButton):
    """A button that is part of the title block: a frame only for the focus."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw words and key; the reason in place of the key where it is not possible now."""
        painter = QPainter(self)
        focus = self.hasFocus()
        painter.fillRect(self.rect(), theme.color("here_tint" if focus or self.isDown() else "sheet"))
        if focus:
            pen = QPen(theme.color("here"), 3)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.drawRect(self.rect().adjusted(1, 1, -2, -2))
        middle = self.height() // 2
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("value"))
        painter.drawText(QRect(0, middle - 23, self.width(), 24), Qt.AlignmentFlag.AlignCenter, self.text())
        painter.setPen(theme.color("label"))
        painter.setFont(theme.font("key"))
        painter.drawText(
            QRect(2, middle + 1, self.width() - 4, 20),
            Qt.AlignmentFlag.AlignCenter,
            self._reason or self._key,
        )

    def sizeHint(self) -> QSize:
        """Room for a glove and for the key's name."""
        return QSize(max(80, super().sizeHint().width() - 28), 48)
