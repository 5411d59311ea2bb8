"""The two faces of a job at the head of its page: sets and board, F8 goes from one to the other."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.ui import theme
from app.ui.texts import text

Face = Literal["sets", "board"]
FACES: Final[tuple[Face, ...]] = ("sets", "board")
WIDTH: Final = 216
HEIGHT: Final = 60


class Faces(QWidget):
    """Two halves; the one that is open is tinted and ruled, the other bears the key that opens it."""

    asked = Signal(str)

    def __init__(self, face: Face, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.face = face
        self.setFixedSize(WIDTH, HEIGHT)
        self.setAccessibleName(text(f"verb.{face}"))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch on a half opens it."""
        self.asked.emit(FACES[int(event.position().x() >= self.width() / 2)])

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Ground, words, rule of the open half, key of the other."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("sheet"))
        half = self.width() // 2
        middle = int(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter)
        for number, face in enumerate(FACES):
            box = QRect(number * half, 0, half, self.height())
            is_open = face == self.face
            if is_open:
                painter.fillRect(box, theme.color("here_tint"))
                painter.fillRect(box.adjusted(0, self.height() - 5, 0, 0), theme.color("here"))
            painter.setPen(theme.color("ink"))
            painter.setFont(theme.font("body", bold=is_open))
            upper = box.adjusted(4, 8, -4, -26)
            words = painter.fontMetrics().elidedText(
                text(f"verb.{face}"), Qt.TextElideMode.ElideRight, upper.width()
            )
            painter.drawText(upper, middle, words)
            if not is_open:
                painter.setPen(theme.color("label"))
                painter.setFont(theme.font("key"))
                painter.drawText(box.adjusted(0, 32, 0, -6), middle, "F8")
        painter.setPen(theme.color("rule"))
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
