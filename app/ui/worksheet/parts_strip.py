"""On a small screen one part at a time: a strip to choose between plate, readings, plot and findings."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from app.ui import theme
from app.ui.shell.tab_button import TabButton
from app.ui.texts import text

PARTS: Final = ("plate", "readings", "plot", "findings")


class PartsStrip(QWidget):
    """Four tabs, of which one is open; the plate is a page of its own."""

    chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.buttons = {part: TabButton(text(f"part.{part}"), is_open=False) for part in PARTS}
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        for part, button in self.buttons.items():
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            button.clicked.connect(lambda _checked=False, part=part: self.chosen.emit(part))
            row.addWidget(button, 1)
        self.setAccessibleName(text("part.name"))
        self.hide()

    def show_open(self, part: str, *, has_plot: bool) -> None:
        """Which part is open; without a curve there is no plot to go to."""
        for name, button in self.buttons.items():
            button.set_open(name == part)
        self.buttons["plot"].setVisible(has_plot)

    def focus_open(self) -> None:
        """The focus goes to the part that is open; arrows and Tab lead to the others."""
        button = next(button for button in self.buttons.values() if button.is_open)
        button.setFocus(Qt.FocusReason.OtherFocusReason)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The sheet beneath the tabs."""
        QPainter(self).fillRect(self.rect(), theme.color("sheet"))
