"""Acts of a page that a narrow screen has no room for stand in a menu behind one button."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from app.ui import theme
from app.ui.shell.foot import Foot

BUTTON = "others"


class Tucked:
    """Which buttons of a foot go into the menu; the foot has a button `others` that opens it."""

    def __init__(self, foot: Foot, names: Sequence[str]) -> None:
        self._foot, self._names = foot, tuple(names)
        foot.buttons[BUTTON].clicked.connect(self.open)
        self.arrange(False)

    def arrange(self, narrow: bool) -> None:
        """On a narrow screen the menu stands for them, else they stand for themselves."""
        for name in self._names:
            self._foot.buttons[name].setVisible(not narrow)
        self._foot.buttons[BUTTON].setVisible(narrow)

    def menu(self) -> QMenu:
        """A line per act; one that is not possible now says why."""
        menu = QMenu(self._foot)
        p = theme.current().palette
        menu.setFont(theme.font("value"))
        menu.setStyleSheet(
            f"QMenu {{ background: {p.sheet}; color: {p.ink}; border: 2px solid {p.rule}; }}"
            "QMenu::item { padding: 6px 24px 6px 18px; min-height: 32px; }"
            f"QMenu::item:selected {{ background: {p.here_tint}; color: {p.ink}; }}"
            f"QMenu::item:disabled {{ color: {p.label}; }}"
        )
        menu.aboutToHide.connect(menu.deleteLater)
        for name in self._names:
            button = self._foot.buttons[name]
            why = button.accessibleDescription()
            action = QAction(f"{button.text()}\t{why}" if why else button.text(), menu)
            action.setEnabled(button.isEnabled())
            action.triggered.connect(button.click)
            menu.addAction(action)
        return menu

    def open(self) -> None:
        """Show the menu above its button, with the first act in hand."""
        menu = self.menu()
        button = self._foot.buttons[BUTTON]
        place = button.mapToGlobal(button.rect().topLeft())
        place.setY(place.y() - menu.sizeHint().height())
        menu.popup(place)
        menu.setActiveAction(menu.actions()[0])
