"""Another folder for all data: looked at, copied, read again, then the window opens anew there."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.again import start_again
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Desk
    from app.ui.window import MainWindow


class MoveDataDialog(DialogFrame):
    """What is wrong with a folder stands at its field; a warning is shown once, and Enter again goes on."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(
            text("move_data.heading"),
            main=text("move_data.main"),
            intro=text("move_data.intro"),
            width=760,
            parent=window,
        )
        self._window = window
        self._warned = ""
        self.field = self.add_field(text("move_data.folder"), must_be_stated=True)
        browse = self.add_button(text("path.browse"), "Alt+B")
        browse.answer_key()
        browse.clicked.connect(self._browse)
        self.confirmed.connect(self._look)

    def refuse(self, sentence: str) -> None:
        """Say at the field why that folder is not taken; the path stays, and can be asked for again."""
        self._set_busy(False)
        self.field.say(sentence)
        self.fit()

    def _look(self) -> None:
        typed = self.field.value()
        self.refuse("")
        if not typed:
            self.refuse(text("path.missing"))
            return
        from app.desk import place

        settings, target = self._window.settings, Path(typed)
        self._set_busy(True)
        self._window.copier.do(
            lambda _keeper: place.look_at(settings, target),
            done=lambda warning: self._go_on(typed, warning),
            failed=self.refuse,
        )

    def _go_on(self, typed: str, warning: str) -> None:
        if warning and self._warned != typed:
            self._warned = typed
            self.refuse(text("move_data.all_the_same", warning=warning))
            return
        session, target = self._window.session, Path(typed)
        settings, job_id = self._window.settings, session.job_id

        def move(desk: Desk) -> str:
            from app.desk import place

            if job_id is not None:
                desk.settle(job_id)
            return place.move(settings, target, desk.store)

        session.fetch(
            self._window.works.watched("move_data", move, aside=self),
            done=self._start_again,
            refused=self.refuse,
        )

    def _start_again(self, said: str) -> None:
        self.accept()
        self._window.bar.say(said)
        start_again(self._window)

    def _set_busy(self, busy: bool) -> None:
        self.main.set_reason(text("move_data.working") if busy else "")

    def _browse(self) -> None:
        browser = QFileDialog(self, self.windowTitle(), self.field.value())
        browser.setFileMode(QFileDialog.FileMode.Directory)
        browser.setOption(QFileDialog.Option.ShowDirsOnly)
        browser.fileSelected.connect(self.field.line.setText)
        browser.finished.connect(browser.deleteLater)
        browser.open()
