"""The exchange folder: what laptops left there, taken in one by one; a job of this computer left there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from app.ui.models.exchange import ExchangeModel
from app.ui.shell.lettering import WholeWords
from app.ui.shell.part import Part
from app.ui.shell.table_frame import TableFrame
from app.ui.texts import text

if TYPE_CHECKING:
    from pathlib import Path

    from app.desk import Change
    from app.exchange.folder import FolderFile
    from app.ui.shell.folder_watch import FolderView
    from app.ui.window import MainWindow


class ExchangePage(QWidget):
    """Enter takes the file in hand in; it is put away only once it is in."""

    page_id = "exchange"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.model = ExchangeModel(self)
        self.state, self.trouble = WholeWords(role="value", bold=True), WholeWords(role="value", bold=True)
        self.said = WholeWords(role="value")
        self.frame = TableFrame(
            self, self.page_id, self.model,
            (("look", "Alt+L", self.look), ("send", "Alt+S", self.send), ("take", "Enter", self.take_in)),
            words=(self.state, self.trouble, self.said), widths={"name": 420, "kind": 190}, stretched="said",
            gives_way={"kind": 760},
        )  # fmt: skip
        self.table, self.foot = self.frame.table, self.frame.foot
        self.table.selectionModel().currentChanged.connect(lambda *_: self._tell_line())
        window.folder.told.connect(self.show_view)
        self.show_view(window.folder.view)
        window.folder.look()

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def show_view(self, view: FolderView) -> None:
        """Put up what waits."""
        self.frame.put(view.files)
        count = text("exchange.waiting", count=len(view.files)) if view.files else ""
        nothing = text("exchange.nothing")
        quiet = f"{nothing[:1].upper()}{nothing[1:]}." if view.named else text("exchange.no_folder")
        self.frame.tell(self.state, count or ("" if view.trouble_text else quiet))
        self.frame.tell(self.trouble, view.trouble_text)
        self.foot.buttons["send"].set_reason(self._why_not_send(view))
        self._tell_line()

    def look(self) -> None:
        """Look at once."""
        self._window.folder.look()

    def take_in(self) -> None:
        """Take the file in hand in, by the same dialog as any other file."""
        from app.ui.dialogs.take_in import TakeInDialog

        one = self.frame.in_hand
        if one is None or one.state != "ready":
            return
        dialog = TakeInDialog(self._window, one.path)
        dialog.taken_in.connect(lambda: self._put_away(one))
        dialog.not_taken.connect(lambda sentence: self._note_refused(one, sentence))
        dialog.open()
        dialog.take(one.path)

    def send(self) -> None:
        """Leave the job on the table in the folder."""
        job_id = self._window.session.job_id
        if job_id is not None:
            self._window.session.fetch(
                lambda desk: desk.send_to_folder(job_id),
                done=self._sent,
                refused=self._window.bar.say,
            )

    def first_focus(self) -> None:
        """The table."""
        self.frame.first_focus()

    def parts(self) -> list[Part]:
        """Table, buttons."""
        return self.frame.parts()

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _note_refused(self, one: FolderFile, sentence: str) -> None:
        """The file stays where it is, with what was said to it."""
        if self._window.folder.folder is not None:
            self._window.folder.folder.refuse(one, sentence)
            self.look()

    def _put_away(self, one: FolderFile) -> None:
        folder = self._window.folder.folder
        if folder is not None:
            self._window.session.fetch(
                lambda _desk: folder.put_away(one),
                done=lambda _path: self.look(),
                refused=lambda _words: None,
            )

    def _sent(self, path: Path) -> None:
        named = self._window.folder.folder is not None
        self._window.bar.note(text("exchange.sent" if named else "exchange.for_archive", name=path.name))
        self.look()
        self._window.sending.send()

    def _why_not_send(self, view: FolderView) -> str:
        if not view.named and not self._window.sending.view.place_text:
            return text("exchange.no_folder")
        return "" if self._window.session.job_id else text("session.no_job")

    def _tell_line(self) -> None:
        """All that is to say of the file in hand: the table may have cut it short."""
        one = self.frame.in_hand
        self.frame.tell(self.said, one.said_text if one is not None else "")
        ready = one is not None and one.state == "ready"
        why_not = text("exchange.settling") if one is not None else text("exchange.nothing")
        self.foot.buttons["take"].set_reason("" if ready else why_not)
