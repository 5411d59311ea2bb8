"""One step at a time in a low panel at the foot of the page: a sentence, where to go, go past, leave.

Whoever embeds it makes a `WalkPanel`, calls `show_step` with the number of a step of `STEPS`, and answers
`go_asked`, `past_asked`, `again_asked` and `left`. It needs no window and never takes the focus by itself.
The main window's own is led by `app.ui.walkthrough.walk.Walk`, in training as outside of it.
"""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.ui import theme
from app.ui.shell.announcing import announce
from app.ui.shell.key_button import PlainButton
from app.ui.shell.lettering import Panel, Words
from app.ui.shell.verbs import VERBS
from app.ui.texts import text
from app.ui.walkthrough.steps import STEPS

HEIGHT: Final = 56
# On a screen of few lines the page needs each of them.
_LOW: Final = 480
_LOW_HEIGHT: Final = 48
_NARROW: Final = 900
_KEYS: Final = {verb.verb_id: verb.key for verb in VERBS}


class WalkPanel(Panel):
    """Says what to do next and which key does it; everything else of the window goes on working."""

    go_asked = Signal(int)
    past_asked = Signal()
    again_asked = Signal()
    left = Signal()
    put_back = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("band", rules="top", weight=2, parent=parent)
        self.number = 0
        self.words = Words(role="finding", bold=True)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        self.go = PlainButton("")
        self.past = PlainButton(text("walk.past"))
        self.again = PlainButton(text("walk.again"))
        self.leave = PlainButton(text("walk.leave"))
        self.go.clicked.connect(lambda: self.go_asked.emit(self.number))
        self.past.clicked.connect(self.past_asked)
        self.again.clicked.connect(self.again_asked)
        self.leave.clicked.connect(self.left)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 2, 8, 2)
        row.setSpacing(8)
        row.addWidget(self.words, 1)
        self._buttons = (self.go, self.past, self.again, self.leave)
        for button in self._buttons:
            button.setFixedHeight(44)
            row.addWidget(button)

    @property
    def finished(self) -> bool:
        """Whether no step is left."""
        return self.number >= len(STEPS)

    def show_step(self, number: int) -> None:
        """Show the step of that number; past the last one, that all is done."""
        self.number = number
        if self.finished:
            sentence = text("walk.finished")
        else:
            step = STEPS[number]
            told = text(f"walk.{step.step_id}")
            sentence = text("walk.step", number=number + 1, all=len(STEPS), told=told)
            self.go.setText(text("walk.go", key=_KEYS[step.verb_id]) if step.verb_id else text("walk.show"))
        if sentence != self.words.text():
            self.words.setText(sentence)
            self.setAccessibleName(sentence)
            if self.isVisible():
                announce(self, sentence)
        self._arrange()

    def first_focus(self) -> None:
        """The focus comes in only when it is asked for."""
        (self.again if self.finished else self.go).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def holds_focus(self) -> bool:
        """Whether one of the buttons has the focus."""
        return any(button.hasFocus() for button in self._buttons)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape gives the focus back to the page; the panel stays."""
        if event.key() == Qt.Key.Key_Escape:
            self.put_back.emit()
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen beginning again waits in the menu until the end."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        low = self.window().height() < _LOW
        self.words.setFont(theme.font("second" if low else "finding", bold=True))
        self.go.setVisible(not self.finished)
        self.past.setVisible(not self.finished)
        self.again.setVisible(self.finished or (self.number > 0 and self.width() >= _NARROW))
        taken = sum(one.sizeHint().width() + 8 for one in self._buttons if not one.isHidden())
        # Qt: words that break into lines tell their height only for a width (6.11).
        lines = self.words.heightForWidth(max(self.width() - taken - 20, 160))
        self.setFixedHeight(max(_LOW_HEIGHT if low else HEIGHT, lines + 4))
