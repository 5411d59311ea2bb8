"""The acts of a page along its lower edge, each a button with its key."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QHBoxLayout

from app.ui import theme
from app.ui.shell.key_button import VerbButton
from app.ui.shell.lettering import Panel
from app.ui.texts import text

# The name of an act, its key, and what it does.
Act = tuple[str, str, Callable[[], object]]


class Foot(Panel):
    """Buttons by name, the last one the main one; `words` stands before their ids in the texts."""

    def __init__(self, words: str, acts: Sequence[Act]) -> None:
        super().__init__("sheet", rules="top", weight=2)
        self.setFixedHeight(theme.density().main_button + 6)
        self.buttons: dict[str, VerbButton] = {}
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 4, 4, 2)
        row.setSpacing(8)
        row.addStretch(1)
        for name, key, act in acts:
            button = VerbButton(text(f"{words}.{name}"), key, main=name == acts[-1][0])
            # A key that works everywhere is the window's own.
            if key.startswith("Alt"):
                button.answer_key()
            button.clicked.connect(act)
            # Many acts on a narrow screen, in long words: then in smaller letters.
            button.let_shrink()
            self.buttons[name] = button
            row.addWidget(button)
