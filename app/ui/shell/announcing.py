"""Telling those who listen what changed where the focus is not."""

from __future__ import annotations

from typing import Final

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QWidget

_AT_ONCE: Final = QAccessible.AnnouncementPoliteness.Assertive
_IN_TURN: Final = QAccessible.AnnouncementPoliteness.Polite


def announce(widget: QWidget, words: str, *, at_once: bool = False) -> None:
    """Have words spoken that stand in a widget without the focus; trouble is told at once."""
    if words and widget.isVisible() and QAccessible.isActive():
        event = QAccessibleAnnouncementEvent(widget, words)
        event.setPoliteness(_AT_ONCE if at_once else _IN_TURN)
        QAccessible.updateAccessibility(event)
