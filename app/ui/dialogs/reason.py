"""A reason in words: for a strike-out, a retest, a new revision, a remark."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.ui.dialogs.frame import DialogFrame
from app.ui.texts import text


class ReasonDialog(DialogFrame):
    """Asks for one line; an empty one is not taken."""

    given = Signal(str)

    def __init__(
        self, heading: str, intro: str = "", *, main: str, caption: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(heading, main=main, intro=intro, parent=parent)
        self.field = self.add_field(caption or text("reason.caption"), must_be_stated=True)
        self.confirmed.connect(self._give)

    def _give(self) -> None:
        if self.field.value():
            self.field.say("")
            self.given.emit(self.field.value())
        else:
            self.field.say(text("reason.missing"))
            self.field.line.setFocus()
