"""The line at the foot: what is saved, what the job is judged by, and the keys that help."""

from __future__ import annotations

from typing import Final

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from app.ui.shell.lettering import Line, Panel
from app.ui.texts import text

HEIGHT: Final = 28
_NARROW: Final = 900


class StatusLine(Panel):
    """Saved here, limits, and the help keys; reading only is said here as long as it lasts."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("ground", rules="top", parent=parent)
        self.setFixedHeight(HEIGHT)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 0, 12, 0)
        row.setSpacing(24)
        self.saved = Line(role="status", bold=True)
        self.limits = Line(role="status")
        self.keys = Line(text("foot.keys"), role="status")
        row.addWidget(self.saved, 30)
        row.addWidget(self.limits, 34)
        row.addStretch(1)
        self.keys.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        row.addWidget(self.keys)
        self._saved_text = ""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the limits give way to what is saved."""
        super().resizeEvent(event)
        self.limits.setVisible(self.width() >= _NARROW)

    def show_saved(self, at_text: str) -> None:
        """Say when the last entry reached the disk."""
        self._saved_text = text("foot.saved", at=at_text) if at_text else ""
        self.saved.set_text(self._saved_text)

    def show_saving(self, slow: bool) -> None:
        """Say that writing takes long, or that it is over."""
        self.saved.set_text(text("foot.saving") if slow else self._saved_text)

    def show_limits(self, words: str) -> None:
        """Say what the job is judged by."""
        self.limits.set_text(words)
