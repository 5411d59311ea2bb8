"""One step at a time in a low panel at the foot of the page: a sentence, where to go, go past, leave.

Whoever embeds it makes a `WalkPanel`, calls `show_step` with the number of a step of `STEPS`, and answers
`go_asked`, `past_asked`, `again_asked` and `left`. It needs no window and never takes the focus by itself.
The main window's own is led by `app.ui.walkthrough.walk.Walk`, in training as outside of it.
"""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QWidget

from app.ui.shell.announcing import announce
from app.ui.shell.key_button import PlainButton
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.verbs import VERBS
from app.ui.texts import text
from app.ui.walkthrough.steps import STEPS, TRIED

HEIGHT: Final = 56
# On a screen of few lines the page needs each of them: the panel folds to one until its key is pressed.
_LOW: Final = 480
_STRIP: Final = 28
_NARROW: Final = 900
_KEYS: Final = {verb.verb_id: verb.key for verb in VERBS}


class WalkPanel(Panel):
    """Says what to do next and which key does it; everything else of the window goes on working."""

    go_asked = Signal(int)
    past_asked = Signal()
    again_asked = Signal()
    left = Signal()
    put_back = Signal()

    def __init__(self, parent: QWidget | None = None, *, training: bool = False) -> None:
        super().__init__("band", rules="top", weight=2, parent=parent)
        self._training = training
        self.number = 0
        self.words = Words(role="finding", bold=True)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        self.strip = Line(role="status", bold=True)
        self._unfolded = False
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
        row.addWidget(self.strip, 1)
        self._buttons = (self.go, self.past, self.again, self.leave)
        for button in self._buttons:
            button.setFixedHeight(44)
            row.addWidget(button)
        QApplication.instance().focusChanged.connect(self._fold)  # type: ignore[union-attr]

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
            if self._training and step.step_id in TRIED:
                told = f"{told} {text(f'walk.try.{step.step_id}')}"
            sentence = text("walk.step", number=number + 1, all=len(STEPS), told=told)
            self.go.setText(text("walk.go", key=_KEYS[step.verb_id]) if step.verb_id else text("walk.show"))
        if sentence != self.words.text():
            self.words.setText(sentence)
            self.strip.set_text(f"{_KEYS['walk']}: {sentence}")
            self.setAccessibleName(sentence)
            if self.isVisible():
                announce(self, sentence)
        self._arrange()

    def first_focus(self) -> None:
        """The focus comes in only when it is asked for."""
        self._unfolded = True
        self._arrange()
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

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch unfolds the strip."""
        self.first_focus()
        event.accept()

    def _fold(self) -> None:
        """The focus went elsewhere: on a low screen the page has its lines back."""
        if self._unfolded and not self.holds_focus():
            self._unfolded = False
            self._arrange()

    def _arrange(self) -> None:
        folded = self.window().height() < _LOW and not self._unfolded
        self.strip.setVisible(folded)
        self.words.setVisible(not folded)
        self.go.setVisible(not folded and not self.finished)
        self.past.setVisible(not folded and not self.finished)
        far = self.number > 0 and self.width() >= _NARROW
        self.again.setVisible(not folded and (self.finished or far))
        self.leave.setVisible(not folded)
        taken = sum(one.sizeHint().width() + 8 for one in self._buttons if not one.isHidden())
        # Qt: words that break into lines tell their height only for a width (6.11).
        lines = self.words.heightForWidth(max(self.width() - taken - 20, 160))
        self.setFixedHeight(_STRIP if folded else max(HEIGHT, lines + 4))
