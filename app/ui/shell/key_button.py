"""Buttons of title block, pages and dialogs: they take the focus by Tab and answer Enter."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics, QKeyEvent, QKeySequence, QPainter, QPaintEvent, QPen, QShortcut
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import theme
from app.ui.widgets.keybutton import KeyButton

_SHRUNK_SHARE = 0.66


class VerbButton(KeyButton):
    """A button with its key that can be reached and pressed without a pointer."""

    def __init__(
        self, words: str, key: str = "", *, main: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(words, key, main=main, parent=parent)
        self._may_shrink = False
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
        """Never smaller than its words, or than small letters of them where it may shrink.

        A reason beneath them gives way where there is no room.
        """
        return QSize(int(self.words_px() * (_SHRUNK_SHARE if self._may_shrink else 1.0)), 44)

    def let_shrink(self) -> None:
        """Let it become as narrow as its words in small letters, where many stand in a row."""
        self._may_shrink = True
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses, as Space does."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)


class PlainButton(VerbButton):
    """A button of one line, for places where a key of its own would be too much."""

    def sizeHint(self) -> QSize:
        """As wide as its words, or as the reason that stands in their place."""
        said = QFontMetrics(theme.font("value")).horizontalAdvance(self._reason)
        return QSize(max(self.words_px(), said + 28), 44)

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
        words, room = self._reason or self.text(), self.width() - 12
        shown = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, room)
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, shown)


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
        self._paint_words(painter, QRect(0, middle - 23, self.width(), 24))
        self._paint_beneath(painter, QRect(2, middle + 1, self.width() - 4, 20))

    def words_px(self) -> int:
        """Room for a glove and for its words."""
        return max(80, QFontMetrics(self._font()).horizontalAdvance(self.text()) + 12)

    def sizeHint(self) -> QSize:
        """Room for what stands beneath the words too."""
        return QSize(max(self.words_px(), self._beneath_px() + 10), 48)
