"""The menu: every verb with its key."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from app.ui import theme
from app.ui.shell.verbs import VERBS
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.shell.deeds import Deeds
    from app.ui.window import MainWindow
    from app.ui.worksheet.page import WorksheetPage

# What comes in from files and lists, what ends a job, what is signed and checked, and the program alone.
BELOW: Final = ("bring", "end", "record", "program")


def build_menu(deeds: Deeds, parent: MainWindow) -> QMenu:
    """The menu: one line per verb, its key at the right, groups parted by rules.

    Some groups stand in a menu of their own, so that all of it fits a screen of 768 lines.
    """
    menu = QMenu(parent)
    p = theme.current().palette
    menu.setFont(theme.font("value"))
    menu.setStyleSheet(
        f"QMenu {{ background: {p.sheet}; color: {p.ink}; border: 2px solid {p.rule}; padding: 4px 0; }}"
        "QMenu::item { padding: 2px 24px 2px 18px; min-height: 18px; }"
        f"QMenu::item:selected {{ background: {p.here_tint}; color: {p.ink}; border-left: 8px solid {p.here};"
        " padding-left: 10px; }"
        f"QMenu::separator {{ height: 1px; background: {p.hairline}; margin: 4px 0; }}"
    )
    menu.aboutToHide.connect(menu.deleteLater)
    if parent.page_id == "worksheet":
        _add_acts(menu, parent.front.page)
    group, shown = VERBS[0].group, menu
    for verb in VERBS:
        if verb.verb_id == "menu":
            continue
        if verb.group != group:
            menu.addSeparator()
            group = verb.group
            shown = menu.addMenu(text(f"menu.{group}")) if group in BELOW else menu
            shown.setFont(theme.font("value"))
        words = text(f"verb.{verb.verb_id}")
        action = QAction(f"{words}\t{verb.key}" if verb.key else words, menu)
        action.triggered.connect(lambda _checked=False, verb_id=verb.verb_id: deeds.do(verb_id))
        shown.addAction(action)
    return menu


def _add_acts(menu: QMenu, page: WorksheetPage) -> None:
    """What can be done at the test in hand, for a hand that has no keys."""
    from app.ui.worksheet.page_keys import ACTS

    shown = menu.addMenu(text("menu.test"))
    shown.setFont(theme.font("value"))
    for act in (act for act in ACTS if act.in_menu):
        words = text(f"keys.{act.name}")
        action = QAction(f"{words[:1].upper()}{words[1:]}\t{act.key}", menu)
        action.triggered.connect(lambda _checked=False, act=act: act.do(page))
        shown.addAction(action)
    menu.addSeparator()
