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
        self.update()

    def _font(self) -> QFont:
        return theme.font("main" if self._main else "value", bold=self._main)

    def sizeHint(self) -> QSize:
        """At least 100 px wide, as tall as the density asks of a main button."""
        wide = QFontMetrics(self._font()).horizontalAdvance(self.text()) + 28
        return QSize(max(wide, 100), theme.density().main_button)

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
        painter.setFont(self._font())
        upper = QRect(0, middle - 25, self.width(), 28)
        painter.drawText(upper, Qt.AlignmentFlag.AlignCenter, self.text())
        painter.setPen(theme.color("label"))
        painter.setFont(theme.font("key"))
        lower = QRect(2, middle + 5, self.width() - 4, 20)
        painter.drawText(lower, Qt.AlignmentFlag.AlignCenter, self._reason or self._key)
