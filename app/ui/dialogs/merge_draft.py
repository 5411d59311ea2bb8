"""What a draft would change in a job that is here, before it does: readings, questions, and no way back."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.lettering import Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.drafts import DraftLook
    from app.ui.window import MainWindow


class MergeDialog(DialogFrame):
    """Enter merges; nothing was changed before that."""

    def __init__(self, window: MainWindow, look: DraftLook, merge: Callable[[], None]) -> None:
        super().__init__(
            text("merge.heading", number=look.number_text), main=text("merge.main"), width=760, parent=window,
            intro=text("merge.intro", who=look.from_text or text("merge.somebody")),
        )  # fmt: skip
        self.lines = [
            Words(words, role="value", bold=True)
            for words in (
                text("merge.new_here", count=look.new_here_count),
                text("merge.new_there", count=look.new_there_count),
                text("merge.questions", count=max(look.questions_count, 0)),
            )
        ]
        for line in self.lines:
            self.body.addWidget(line)
        self.body.addWidget(Words(text("merge.no_undo")))
        self._merge = merge
        self.confirmed.connect(self._go)

    def _go(self) -> None:
        self.accept()
        self._merge()
