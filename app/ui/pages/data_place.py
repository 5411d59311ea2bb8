"""Where data lies: a line for each kind, its folder to open, its path to copy, and moving all of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QApplication, QWidget

from app.ui.models.data_place import DataPlaceModel
from app.ui.shell.lettering import Line, WholeWords
from app.ui.shell.part import Part
from app.ui.shell.table_frame import TableFrame
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk import Change
    from app.desk.place import PlaceView
    from app.ui.window import MainWindow


class DataPlacePage(QWidget):
    """It works where the store itself cannot be read, too; only moving wants it open."""

    page_id = "data_place"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.model = DataPlaceModel(self)
        self.folder, self.before = Line(role="value", bold=True), Line(role="finding")
        self.trouble = WholeWords(role="value", bold=True)
        self.frame = TableFrame(
            self, self.page_id, self.model,
            (
                ("move", "Alt+M", self.move_all),
                ("copy_path", "Alt+C", self.copy_path),
                ("open_folder", "Enter", self.open_folder),
            ),
            words=(self.folder, self.before, self.trouble), widths={self.model.columns[0]: 270},
            stretched=self.model.columns[1], gives_way={},
        )  # fmt: skip
        self.table, self.foot = self.frame.table, self.frame.foot

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def look(self) -> None:
        """Ask anew where everything lies, on the thread of the copies: a network may take its time."""
        from app.desk import place

        settings = self._window.settings
        self._window.copier.do(lambda _keeper: place.view(settings), done=self.show_view, failed=self._say)

    def show_view(self, view: PlaceView) -> None:
        """Put up where everything lies."""
        self.frame.put(view.lines)
        self.frame.tell(self.folder, text("data_place.folder", folder=view.folder))
        before = text("data_place.before", folder=view.before_text) if view.before_text else ""
        self.frame.tell(self.before, before)
        why_not = view.fixed_text or self._why_not_now()
        self._say(retold(why_not or view.warning_text))
        self.foot.buttons["move"].set_reason(text("data_place.fixed") if why_not else "")

    def open_folder(self) -> None:
        """Show the folder of the line in hand in the system's own window."""
        line = self.frame.in_hand
        if line is None:
            return
        folder = line.path if line.path.is_dir() else line.path.parent
        if not folder.is_dir():
            self._say(text("data_place.not_made", folder=folder))
        elif not QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder))):
            self._say(text("data_place.not_opened", folder=folder))

    def copy_path(self) -> None:
        """Put the path of the line in hand where a paste takes it from."""
        line = self.frame.in_hand
        if line is not None:
            QApplication.clipboard().setText(str(line.path))
            self._say(text("data_place.copied", path=line.path))

    def move_all(self) -> None:
        """Ask for another folder and move everything there."""
        from app.ui.dialogs.move_data import MoveDataDialog

        MoveDataDialog(self._window).open()

    def first_focus(self) -> None:
        """The table, with what is there now."""
        self.look()
        self.frame.first_focus()

    def parts(self) -> list[Part]:
        """Table, buttons."""
        return self.frame.parts()

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _why_not_now(self) -> str:
        desk = self._window.session.desk
        if desk is None:
            return text("data_place.not_open")
        return desk.store.read_only_reason or ""

    def _say(self, sentence: str) -> None:
        self.frame.tell(self.trouble, sentence)
