"""One sentence at a time for the user, between title block and page.

What is to be known waits until it is put away; that a small act was done goes by itself with the next one.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QKeySequence, QPainter, QPaintEvent, QPen, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.ui import theme
from app.ui.shell.announcing import announce
from app.ui.shell.key_button import PlainButton, VerbButton
from app.ui.shell.lettering import Words
from app.ui.texts import text
from app.words import retold


class MessageBar(QWidget):
    """A sentence in a heavy ink frame, with a button that puts it away."""

    put_away = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 8, 8, 8)
        self._words = Words(role="value", bold=True)
        self.button = VerbButton(text("bar.put_away"), "Esc")
        self.button.setFixedHeight(52)
        self.button.clicked.connect(self.clear)
        # Escape is the bar's only while it says something: a field and a dialog want it too.
        self._escape = QShortcut(QKeySequence("Esc"), self)
        self._escape.activated.connect(self.clear)
        self.offer = PlainButton("")
        self.offer.clicked.connect(self._take_offer)
        self.offer.hide()
        self._take: Callable[[], None] | None = None
        self._passing = False
        row.addWidget(self._words, 1)
        row.addWidget(self.offer, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        self.hide()

    @property
    def sentence(self) -> str:
        """What is said now; empty where nothing is."""
        return self._words.text()

    def say(self, sentence: str, *, offer: str = "", take: Callable[[], None] | None = None) -> None:
        """Show a sentence, with a button for what is offered; an empty one leaves the bar as it is."""
        if not sentence:
            return
        sentence = retold(sentence)
        self._take, self._passing = take, False
        self.offer.setText(offer)
        self.offer.setVisible(bool(offer))
        self._words.setText(sentence)
        self.setAccessibleName(sentence)
        self.show()
        announce(self, sentence, at_once=True)

    def note(self, sentence: str) -> None:
        """Show what was done; it stays until the user goes on to something else."""
        self.say(sentence)
        self._passing = bool(sentence)

    def go_on(self) -> None:
        """Something else is done now: a note goes by itself, and the focus stays where it is."""
        if self._passing:
            self._passing = False
            self._words.setText("")
            self.hide()

    def _take_offer(self) -> None:
        take = self._take
        self.clear()
        if take is not None:
            take()

    def clear(self) -> None:
        """Put the sentence away."""
        self._words.setText("")
        self.hide()
        self.put_away.emit()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Sheet colour in a heavy frame: trouble has no colour of its own."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("sheet"))
        pen = QPen(theme.color("ink"), 3)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.drawRect(QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5))
