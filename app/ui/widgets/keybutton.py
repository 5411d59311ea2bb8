"""A button that names its key; where it is not possible yet, the reason stands instead."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QWidget

from app.ui import theme


class KeyButton(QAbstractButton):
    """Words above, the key beneath."""

    def __init__(self, words: str, key: str, *, main: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._key = key
        self._main = main
        self._reason = ""
        self.setText(words)
        self.setAccessibleName(f"{words}, {key}")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def set_words(self, words: str) -> None:
        """Say something else; the key stays."""
        self.setText(words)
        self.setAccessibleName(f"{words}, {self._key}")
        self.update()

    def set_reason(self, reason: str) -> None:
        """Why it is not possible now; empty where it is."""
        if reason == self._reason:
            return
        self._reason = reason
        self.setEnabled(not reason)
        self.setAccessibleDescription(reason)
        self.updateGeometry()
        self.update()

    def _font(self) -> QFont:
        return theme.font("main" if self._main else "value", bold=self._main)

    def sizeHint(self) -> QSize:
        """As wide as words and key or reason, at least 100 px; as tall as the density asks."""
        return QSize(max(self.words_px(), self._beneath_px() + 16), theme.density().main_button)

    def words_px(self) -> int:
        """The width that the words ask for, whatever stands beneath them."""
        return max(QFontMetrics(self._font()).horizontalAdvance(self.text()) + 28, 100)

    def _beneath_px(self) -> int:
        return QFontMetrics(theme.font("key")).horizontalAdvance(self._reason or self._key)

    def _paint_words(self, painter: QPainter, box: QRect) -> None:
        """The words; smaller where they are squeezed, and cut only where even that is too wide."""
        painter.setFont(self._font())
        if painter.fontMetrics().horizontalAdvance(self.text()) > box.width():
            painter.setFont(theme.font("label", bold=self._main))
        shown = painter.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, shown)

    def _paint_beneath(self, painter: QPainter, box: QRect) -> None:
        """The key, or the reason why it is not possible now; cut only where the screen has no room for it."""
        painter.setPen(theme.color("label"))
        painter.setFont(theme.font("key"))
        words = self._reason or self._key
        shown = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, shown)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw frame, words and key."""
        painter = QPainter(self)
        ink = theme.color("ink")
        held = self.isDown()
        painter.fillRect(self.rect(), theme.color("here_tint" if held or self.hasFocus() else "sheet"))
        if self.isEnabled():
            pen = QPen(
                theme.color("here") if self.hasFocus() else ink, 3 if self._main or self.hasFocus() else 1.5
            )
        else:
            pen = QPen(theme.color("border"), 1)
            pen.setDashPattern([5, 4])
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        inset = int(pen.widthF() / 2 + 0.5)
        painter.setPen(pen)
        painter.drawRect(self.rect().adjusted(inset, inset, -inset - 1, -inset - 1))
        middle = self.height() // 2
        painter.setPen(ink)
        self._paint_words(painter, QRect(5, middle - 25, self.width() - 10, 28))
        self._paint_beneath(painter, QRect(4, middle + 5, self.width() - 8, 20))
