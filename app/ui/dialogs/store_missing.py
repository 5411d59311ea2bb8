"""The store is not where it was: bring the newest copy back, look at all of them, or begin an empty one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.ui.dialogs.frame import DialogFrame
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.ui.window import MainWindow


class StoreMissingDialog(DialogFrame):
    """Enter brings the newest copy back as a store of its own; Escape leaves everything as it is."""

    def __init__(self, window: MainWindow, sentence: str) -> None:
        super().__init__(
            text("store_missing.heading"),
            main=text("store_missing.main"),
            intro=f"{retold(sentence)} {text('store_missing.intro')}",
            width=1000,
            parent=window,
        )
        self._window = window
        self.look = self.add_button(text("store_missing.look"), "Alt+C")
        self.look.answer_key()
        self.look.clicked.connect(self._look)
        self.anew = self.add_button(text("store_missing.anew"), "Alt+B")
        self.anew.answer_key()
        self.anew.clicked.connect(lambda: self._open(anew=True))
        self.confirmed.connect(self._bring_back)

    def _bring_back(self) -> None:
        from app.desk.store_gone import recover

        settings = self._window.settings
        self.main.setEnabled(False)
        self._window.copier.do(
            lambda _keeper: recover(settings),
            done=lambda words: self._open(note_text=words),
            failed=self._refuse,
        )

    def _refuse(self, sentence: str) -> None:
        self.main.setEnabled(True)
        self.say(sentence)

    def _look(self) -> None:
        self.accept()
        self._window.deeds.copies()

    def _open(self, *, anew: bool = False, note_text: str = "") -> None:
        self.accept()
        self._window.bar.clear()
        self._window.session.open_store(self._window.settings.folder, anew=anew, note_text=note_text)
