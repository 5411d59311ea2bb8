"""The line under the rows: next volts, answers of a choice, why a text is no number, what went wrong."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.ui import theme
from app.ui.shell.announcing import announce

_LEAST_HEIGHT = 30
_WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignVCenter


class HintLine(QLabel):
    """One sentence; a problem gets a heavy frame and stays until it is answered.

    Qt: drawn by itself, since a label that wraps makes the scroll area around it ask for more height than
    it needs (6.11).
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = ""
        self._problem = ""
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(_LEAST_HEIGHT)

    @property
    def problem(self) -> str:
        """What went wrong and was not answered yet."""
        return self._problem

    def text(self) -> str:
        """What is said now."""
        return self._problem or self._words

    def dress(self) -> None:
        """Take the font of the theme in force."""
        self._fit()

    def tell(self, words: str) -> None:
        """Say a sentence; a problem that stands goes before it."""
        self._words = words
        self._settle()

    def tell_problem(self, words: str) -> None:
        """Say what went wrong; an empty text takes it away."""
        self._problem = words
        self._settle()
        announce(self, words, at_once=True)

    def _settle(self) -> None:
        self.setAccessibleName(self.text())
        self._fit()
        self.update()

    def _box(self) -> QRect:
        return QRect(10, 4, max(self.width() - 20, 120), 999)

    def _fit(self) -> None:
        metrics = QFontMetrics(theme.font("second", bold=True))
        wanted = metrics.boundingRect(self._box(), int(_WRAP), self.text()).height() + 10
        wanted = max(_LEAST_HEIGHT, wanted + (6 if self._problem else 0))
        if wanted != self.height():
            self.setFixedHeight(wanted)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The words may want another number of lines."""
        super().resizeEvent(event)
        self._fit()

    def sizeHint(self) -> QSize:
        """As tall as the words."""
        return QSize(200, self.height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The words, and the frame of a problem."""
        painter = QPainter(self)
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("second", bold=True))
        painter.drawText(self._box().adjusted(0, 0, 0, self.height() - 8 - 999), int(_WRAP), self.text())
        if self._problem:
            pen = QPen(theme.color("ink"), 3)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.drawRect(self.rect().adjusted(2, 2, -3, -3))
