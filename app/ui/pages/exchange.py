"""The exchange folder: what laptops left there, taken in one by one; a job of this computer left there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHeaderView, QVBoxLayout, QWidget

from app.ui.models.exchange import ExchangeModel
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change
    from app.exchange.folder import FolderFile
    from app.ui.shell.folder_watch import FolderView
    from app.ui.window import MainWindow

_WIDTHS: Final = {"name": 420, "kind": 190}

# A screen of 768 lines at 200 %: what the page is for gives way to where things stand.
_LOW: Final = 420


class ExchangePage(QWidget):
    """Enter takes the file in hand in; it is put away only once it is in."""

    page_id = "exchange"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.model = ExchangeModel(self)
        self.table = RuledTable()
        self.table.setAccessibleName(text("exchange.heading"))
        self.table.setModel(self.model)
        self.table.chosen.connect(lambda _row: self.take_in())
        self.state, self.trouble = Words(role="value", bold=True), Words(role="value", bold=True)
        self.said = Words(role="value")
        self.foot = Foot(
            "exchange",
            (("look", "Alt+L", self.look), ("send", "Alt+S", self.send), ("take", "Enter", self.take_in)),
        )
        self._lay_out()
        self.table.selectionModel().currentChanged.connect(lambda *_: self._tell_line())
        window.folder.told.connect(self.show_view)
        self.show_view(window.folder.view)
        window.folder.look()

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def show_view(self, view: FolderView) -> None:
        """Put up what waits."""
        before = max(self.table.currentIndex().row(), 0)
        self.model.show_lines(view.files)
        self.table.setCurrentIndex(self.model.index(before, 0))
        count = text("exchange.waiting", count=len(view.files)) if view.files else ""
        nothing = text("exchange.nothing")
        quiet = f"{nothing[:1].upper()}{nothing[1:]}." if view.named else text("exchange.no_folder")
        self.state.setText(count or ("" if view.trouble_text else quiet))
        self.trouble.setText(view.trouble_text)
        for words in (self.state, self.trouble):
            words.setVisible(bool(words.text()))
        self.foot.buttons["send"].set_reason(self._why_not_send(view))
        self._tell_line()

    def look(self) -> None:
        """Look at once."""
        self._window.folder.look()

    def take_in(self) -> None:
        """Take the file in hand in, by the same dialog as any other file."""
        from app.ui.dialogs.take_in import TakeInDialog

        one = self._in_hand
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
                done=lambda path: self._sent(path.name),
                refused=self._window.bar.say,
            )

    def first_focus(self) -> None:
        """The table."""
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Table, buttons."""
        return [Part(self.table, self.table.setFocus), Part(self.foot, self.foot.buttons["look"].setFocus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    @property
    def _in_hand(self) -> FolderFile | None:
        return self.model.line(self.table.currentIndex().row())

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

    def _sent(self, name: str) -> None:
        self._window.bar.note(text("exchange.sent", name=name))
        self.look()

    def _why_not_send(self, view: FolderView) -> str:
        if not view.named:
            return text("exchange.no_folder")
        return "" if self._window.session.job_id else text("session.no_job")

    def _tell_line(self) -> None:
        """All that is to say of the file in hand: the table may have cut it short."""
        one = self._in_hand
        self.said.setText(one.said_text if one is not None else "")
        self.said.setVisible(bool(self.said.text()))
        ready = one is not None and one.state == "ready"
        why_not = text("exchange.settling") if one is not None else text("exchange.nothing")
        self.foot.buttons["take"].set_reason("" if ready else why_not)

    def _lay_out(self) -> None:
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        head = Panel("sheet")
        column = QVBoxLayout(head)
        column.setContentsMargins(16, 12, 16, 12)
        column.setSpacing(6)
        column.addWidget(Line(text("exchange.heading"), role="heading", bold=True))
        self.intro = Words(text("exchange.intro"))
        for words in (self.intro, self.state, self.trouble, self.said):
            column.addWidget(words)
        outer.addWidget(head)
        outer.addWidget(self.table, 1)
        outer.addWidget(self.foot)
        for column_no, name in enumerate(self.model.columns):
            self.table.setColumnWidth(column_no, _WIDTHS.get(name, 200))
        self.table.horizontalHeader().setSectionResizeMode(
            self.model.columns.index("said"), QHeaderView.ResizeMode.Stretch
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the kind gives way."""
        super().resizeEvent(event)
        self.intro.setVisible(self.height() >= _LOW)
        self.table.setColumnHidden(self.model.columns.index("kind"), self.width() < 760)
        self.table.setColumnWidth(0, 420 if self.width() >= 1000 else 300)
