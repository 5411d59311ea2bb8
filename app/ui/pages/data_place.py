"""Where data lies: a line for each kind, its folder to open, its path to copy, and moving all of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QApplication, QHeaderView, QVBoxLayout, QWidget

from app.ui.models.data_place import DataPlaceModel
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, WholeWords
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change
    from app.desk.place import PlaceLine, PlaceView
    from app.ui.window import MainWindow

_WHAT_WIDTH: Final = 270


class DataPlacePage(QWidget):
    """It works where the store itself cannot be read, too; only moving wants it open."""

    page_id = "data_place"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.model = DataPlaceModel(self)
        self.table = RuledTable()
        self.table.setAccessibleName(text("data_place.heading"))
        self.table.setModel(self.model)
        self.table.chosen.connect(lambda _row: self.open_folder())
        self.folder, self.before = Line(role="value", bold=True), Line(role="finding")
        self.trouble = WholeWords(role="value", bold=True)
        self.foot = Foot(
            "data_place",
            (
                ("move", "Alt+M", self.move_all),
                ("copy_path", "Alt+C", self.copy_path),
                ("open_folder", "Enter", self.open_folder),
            ),
        )
        self._lay_out()

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def look(self) -> None:
        """Ask anew where everything lies, on the thread of the copies: a network may take its time."""
        from app.desk import place

        settings = self._window.settings
        self._window.copier.do(
            lambda _keeper: place.view(settings), done=self.show_view, failed=self.trouble.setText
        )

    def show_view(self, view: PlaceView) -> None:
        """Put up where everything lies."""
        before = self.table.currentIndex().row()
        self.model.show_lines(view.lines)
        self.table.setCurrentIndex(self.model.index(max(before, 0), 0))
        self.folder.set_text(text("data_place.folder", folder=view.folder))
        self.before.set_text(text("data_place.before", folder=view.before_text) if view.before_text else "")
        self.before.setVisible(bool(view.before_text))
        why_not = view.fixed_text or self._why_not_now()
        self._say(why_not or view.warning_text)
        self.foot.buttons["move"].set_reason(text("data_place.fixed") if why_not else "")

    def open_folder(self) -> None:
        """Show the folder of the line in hand in the system's own window."""
        line = self._line()
        if line is None:
            return
        folder = line.path if line.path.is_dir() else line.path.parent
        if not folder.is_dir():
            self._say(text("data_place.not_made", folder=folder))
        elif not QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder))):
            self._say(text("data_place.not_opened", folder=folder))

    def copy_path(self) -> None:
        """Put the path of the line in hand where a paste takes it from."""
        line = self._line()
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
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Table, buttons."""
        return [
            Part(self.table, self.table.setFocus),
            Part(self.foot, self.foot.buttons["open_folder"].setFocus),
        ]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _line(self) -> PlaceLine | None:
        return self.model.line(self.table.currentIndex().row())

    def _why_not_now(self) -> str:
        desk = self._window.session.desk
        if desk is None:
            return text("data_place.not_open")
        return desk.store.read_only_reason or ""

    def _say(self, sentence: str) -> None:
        self.trouble.setText(sentence)
        self.trouble.setVisible(bool(sentence))

    def _lay_out(self) -> None:
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        head = Panel("sheet")
        column = QVBoxLayout(head)
        column.setContentsMargins(16, 12, 16, 12)
        column.setSpacing(6)
        column.addWidget(Line(text("data_place.heading"), role="heading", bold=True))
        for words in (WholeWords(text("data_place.intro")), self.folder, self.before, self.trouble):
            column.addWidget(words)
        self.before.hide()
        self.trouble.hide()
        outer.addWidget(head)
        outer.addWidget(self.table, 1)
        outer.addWidget(self.foot)
        self.table.setColumnWidth(0, _WHAT_WIDTH)
        self.table.horizontalHeader().setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
