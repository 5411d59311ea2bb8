"""The line under the rows: the next volts, the answers of a choice, why a text is no number, or what went wrong."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QWidget

from app.ui import theme

_LEAST_HEIGHT = 30


class HintLine(QLabel):
    """One sentence; a problem gets a heavy frame and stays until it is answered."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._problem = ""
        self.setWordWrap(True)
        self.setMinimumHeight(_LEAST_HEIGHT)
        self.setContentsMargins(10, 4, 10, 4)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.dress()

    @property
    def problem(self) -> str:
        """What went wrong and was not answered yet."""
        return self._problem

    def dress(self) -> None:
        """Take the font of the theme in force."""
        self.setFont(theme.font("second", bold=True))

    def tell(self, words: str) -> None:
        """Say a sentence, unless a problem stands."""
        if not self._problem:
            self.setText(words)
            self.setAccessibleName(words)

    def tell_problem(self, words: str) -> None:
        """Say what went wrong; an empty text takes it away."""
        self._problem = words
        self.setText(words)
        self.setAccessibleName(words)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Frame a problem."""
        super().paintEvent(event)
        if self._problem:
            painter = QPainter(self)
            pen = QPen(theme.color("ink"), 3)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.drawRect(self.rect().adjusted(2, 2, -3, -3))
