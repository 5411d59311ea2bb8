"""The status line: what is saved, what is being saved, and the keys."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from app.ui import theme
from app.ui.texts import text

STATUS_HEIGHT = 28


class StatusLine(QWidget):
    """Left what is saved, in the middle what the window wants to say, right the keys."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._saved = ""
        self._saving = False
        self.saved = QLabel(self)
        self.middle = QLabel(self)
        self.keys = QLabel(text("status.keys"), self)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 0, 12, 0)
        row.setSpacing(24)
        for label in (self.saved, self.middle, self.keys):
            row.addWidget(label, 1 if label is self.middle else 0)
        self.keys.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.setFixedHeight(STATUS_HEIGHT)
        self.dress()

    def dress(self) -> None:
        """Take the fonts of the theme in force."""
        self.saved.setFont(theme.font("status", bold=True))
        self.middle.setFont(theme.font("status"))
        self.keys.setFont(theme.font("status"))

    def tell_saved(self, words: str) -> None:
        """What the last commit saved, and when."""
        self._saved = words
        self._settle()

    def tell_saving(self, saving: bool) -> None:
        """Whether a commit takes long."""
        self._saving = saving
        self._settle()

    def tell(self, words: str) -> None:
        """A sentence in the middle."""
        self.middle.setText(words)

    def _settle(self) -> None:
        self.saved.setText(text("status.saving") if self._saving else self._saved)
        self.saved.setAccessibleName(self.saved.text())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The ground."""
        QPainter(self).fillRect(self.rect(), theme.color("ground"))
