"""What is half typed when the window is to close: kept, left out, or gone back to."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from app.ui.dialogs.frame import DialogFrame
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.shell.leaving import HalfTyped
    from app.ui.window import MainWindow


class LeaveDialog(DialogFrame):
    """Enter keeps the text and closes, Escape goes back to the field; leaving it out has its own button."""

    def __init__(self, window: MainWindow, found: HalfTyped, close: Callable[[], None]) -> None:
        super().__init__(
            text("leave.heading"), main=text("leave.keep"),
            intro=text("leave.intro", typed=found.typed_text, field=found.field_text), width=640,
            parent=window,
        )  # fmt: skip
        self._window, self._found, self._close_window = window, found, close
        self.cancel.set_words(text("leave.back"))
        self.without = self.add_button(text("leave.without"), "Alt+W")
        self.without.answer_key()
        self.without.clicked.connect(self._leave)
        self.confirmed.connect(self._keep)

    def _leave(self) -> None:
        self.accept()
        self._close_window()

    def _keep(self) -> None:
        """Close once the text is kept; else say why it is not, and leave the window open."""
        self._window.leaving.keep(
            self._found,
            done=self._leave,
            failed=lambda reason: self.say(text("leave.failed", reason=reason)),
        )
