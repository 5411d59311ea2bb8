"""An area that scrolls where the screen is too small, and can bring a field into view."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from app.ui import theme


class Scroll(QScrollArea):
    """Takes the height of what is in it where there is room."""

    def __init__(self, inner: QWidget, *, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._inner = inner
        self.setWidget(inner)
        self.wanted_height = 0
        self.dress()
        theme.current().changed.connect(self.dress)

    def dress(self) -> None:
        """The ground is that of a sheet; one that takes the focus shows it by its frame."""
        p = theme.current().palette
        rule = p.here if self.hasFocus() else p.sheet
        border = "" if self.focusPolicy() is Qt.FocusPolicy.NoFocus else f"border: 3px solid {rule};"
        self.setStyleSheet(
            f"QScrollArea {{ background: {p.sheet}; {border} }}"
            f"QScrollArea > QWidget > QWidget {{ background: {p.sheet}; }}"
        )

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Arrows scroll here now."""
        super().focusInEvent(event)
        self.dress()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """They do not any more."""
        super().focusOutEvent(event)
        self.dress()

    def sizeHint(self) -> QSize:
        """As large as what is in it."""
        inner = self._inner
        wide = inner.sizeHint().width()
        tall = self.wanted_height or max(inner.sizeHint().height(), inner.minimumSizeHint().height())
        return QSize(wide, tall + 2)


def bring_into_view(widget: QWidget) -> None:
    """Scroll whatever area a widget lies in until it can be seen."""
    above = widget.parentWidget()
    while above is not None:
        if isinstance(above, Scroll):
            above.ensureWidgetVisible(widget, 20, 36)
            return
        above = above.parentWidget()
