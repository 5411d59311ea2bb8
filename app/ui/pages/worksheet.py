"""The worksheet in the window: the sets at its left, and what it changes told to every other page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QGridLayout, QVBoxLayout, QWidget

from app.desk import Address, Change
from app.ui.shell.faces import Faces
from app.ui.shell.part import Part
from app.ui.shell.sets_panel import WIDTH, SetsPanel
from app.ui.worksheet.page import WorksheetPage
from ctcore.job import METHOD_ROW, places
from ctcore.procedures import planned

if TYPE_CHECKING:
    from app.ui.window import MainWindow

NARROW: Final = 900


class WorksheetHolder(QWidget):
    """Holds the one worksheet page of the window."""

    page_id = "worksheet"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        assert window.session.desk is not None
        self._window = window
        self._drawn: Change | None = None
        self._head, self.sets = Faces("sets"), SetsPanel()
        self._head.asked.connect(lambda face: window.deeds.board() if face == "board" else self.show_sets())
        self.sets.core_asked.connect(window.go_to)
        self.sets.ct_asked.connect(window.go_to_plate)
        self.page = WorksheetPage(
            window.session.desk, window.session.writer, corner=self._head, left=self.sets
        )
        # The window has a status line of its own, which every page shares.
        self.page.status.hide()
        self.page.changed.connect(self._take)
        self.page.place_changed.connect(self._follow)
        self.page.plate_asked.connect(lambda: window.deeds.do("plate"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.page)

    def show_place(self, core_id: str, procedure_id: str) -> None:
        """Open a test of a core; without a name the first one that has no readings yet."""
        view = self._window.session.view
        assert view is not None
        place = next(entry for entry in places(view.job) if entry.core.core_id == core_id)
        plan = [test.procedure_id for test in planned(place.core)]
        if procedure_id not in plan:
            begun = {procedure for core, procedure in view.takes if core == core_id}
            procedure_id = next((entry for entry in plan if entry not in begun), plan[0])
        self.page.open(view, core_id, procedure_id)

    def show_change(self, change: Change) -> None:
        """Draw again what a verb changed, unless the page itself has drawn it already."""
        if change is not self._drawn:
            self.page.redraw(change)
        self._drawn = None
        self.sets.show_change(change, self._window.place[0])
        if self.page.sheet is None and self.isVisible() and self._window.place[0]:
            self.show_place(*self._window.place)

    def first_focus(self) -> None:
        """Where one goes on."""
        if self.page.sheet is not None:
            self.page.cursor_in_hand.start()

    def parts(self) -> list[Part]:
        """Method fields, rows, the strip of a small screen, sets."""
        cursor, body = self.page.cursor_in_hand, self.page.body
        method = body.method

        def go_to_method() -> None:
            if method.fields:
                method.fields[0].edit.setFocus()

        return [
            Part(method, go_to_method),
            Part(body.table, lambda: cursor.focus_row(0)),
            Part(self.page.parts_strip, self.page.parts_strip.focus_open),
            Part(self.sets, self.show_sets),
        ]

    def in_sets(self) -> bool:
        """Whether the sets have the focus."""
        return self.sets.grid.hasFocus()

    def show_sets(self) -> None:
        """The sets take the focus; on a narrow screen they come and go."""
        if self.width() < NARROW:
            self._fold(shown=self.sets.isHidden())
        if self.sets.isVisible():
            self.sets.first_focus()
        else:
            self.first_focus()

    def address_here(self) -> Address | None:
        """The field in hand; None where the focus is elsewhere."""
        cursor = self.page.cursor_in_hand
        here = cursor.field_here() if self.page.sheet is not None else None
        if here is None:
            return None
        row = METHOD_ROW if cursor.where()[0] == "method" else cursor.row
        return cursor.address(row, here[1].quantity.quantity_id)

    def undo(self, verb: str) -> None:
        """Undo or redo with the cursor where it is."""
        getattr(self.page.cursor_in_hand, verb)()

    def let_go(self) -> None:
        """The window closes: what stands typed is saved; nothing here looks at events any more."""
        if self.page.sheet is not None:
            self.page.cursor_in_hand.save_unsaved()
        # Qt: a filter in Python that sees its own widgets being destroyed is a fault of the memory (6.11).
        app = QApplication.instance()
        assert app is not None
        app.removeEventFilter(self.page.keys_held)

    def _take(self, change: Change) -> None:
        self._drawn = change
        self._window.session.take(change)
        self._window.status.show_saved_words(self.page.status.saved.text())

    def _follow(self, core_id: str, procedure_id: str) -> None:
        self.sets.set_here(core_id)
        self._window.follow(core_id, procedure_id)

    def _fold(self, *, shown: bool) -> None:
        """Sets and page beside each other, or one at a time."""
        narrow = self.width() < NARROW
        self._head.setVisible(shown)
        self.sets.setVisible(shown)
        layout = self.page.layout()
        assert isinstance(layout, QGridLayout)
        layout.setColumnMinimumWidth(0, WIDTH if shown else 0)
        self.page.body.setVisible(not (narrow and shown))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Below 900 logical pixels the sets fold away; F8 brings them."""
        super().resizeEvent(event)
        self._fold(shown=self.width() >= NARROW)
