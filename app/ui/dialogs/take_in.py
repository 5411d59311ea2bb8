"""Take in a job, a job handed in, an answer, what was issued; who signed it may have to be believed first."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from app.ui.dialogs.believe import BelieveDialog
from app.ui.dialogs.path import PathDialog
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk import Change, Desk
    from app.desk.drafts import DraftLook
    from app.desk.keys import KeyLine
    from app.ui.window import MainWindow


class TakeInDialog(PathDialog):
    """A refused file stays named; where only its signer is unknown, a further button appears.

    A draft of a job that is here says first what a merge would change. `taken_in` follows what is in,
    `not_taken` tells why something is not.
    """

    taken_in = Signal()
    not_taken = Signal(str)

    def __init__(self, window: MainWindow, start: Path | None = None) -> None:
        super().__init__(
            text("take_in.heading"),
            text("take_in.intro"),
            main=text("take_in.main"),
            saving=False,
            start=start,
            parent=window,
        )
        self._window = window
        self._stranger: KeyLine | None = None
        self._path = Path()
        self.who = self.add_button(text("take_in.who"), "Alt+W")
        self.who.answer_key()
        self.who.clicked.connect(self._ask_who)
        self.who.hide()
        self.path_chosen.connect(self.take)

    def take(self, path: Path) -> None:
        """Take the file in."""
        self._path = path
        self.who.hide()
        self._window.session.fetch(
            lambda desk: desk.look_at_draft(path), done=self._go_on, refused=self._refused
        )

    def _go_on(self, look: DraftLook | None) -> None:
        """Take in what is no draft, or new here; ask before a merge."""
        if look is None or not look.here or look.nothing_new:
            self._start()
        elif look.trouble_text:
            self.refuse(retold(look.trouble_text))
            self.not_taken.emit(retold(look.trouble_text))
        else:
            from app.ui.dialogs.merge_draft import MergeDialog

            MergeDialog(self._window, look, self._start).open()

    def _start(self) -> None:
        session, path = self._window.session, self._path

        def start() -> None:
            verb = self._window.works.watched("take_in", lambda desk: desk.take_in(path), aside=self)
            session.start(verb, refused=self._refused, done=self._taken)

        self._window.copier.copy_first(start)

    def _refused(self, sentence: str) -> None:
        self.refuse(sentence)
        self.not_taken.emit(sentence)
        path = self._path

        def look(desk: Desk) -> KeyLine | None:
            return desk.stranger_in(path)

        self._window.session.fetch(look, done=self._offer, refused=lambda _words: None)

    def _offer(self, line: KeyLine | None) -> None:
        self._stranger = line
        self.who.setVisible(line is not None)
        self.fit()

    def _ask_who(self) -> None:
        if self._stranger is not None:
            path = self._path
            BelieveDialog(self._window, path, self._stranger, lambda: self.take(path)).open()

    def _taken(self, change: Change) -> None:
        self.taken_in.emit()
        self.accept()
        view = change.view
        signed = bool(view.revisions) and view.revisions[-1].signed
        mine = signed and view.revisions[-1].name_text == self._window.settings.me()[1]
        if signed and view.job.state == "handed_in" and not mine:
            self._window.show_page("review")
