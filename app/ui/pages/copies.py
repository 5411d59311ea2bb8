"""The copies of the store: when the last was checked, where they lie, and bringing one back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QWidget

from app.ui.models.copies import CopiesModel
from app.ui.shell.lettering import WholeWords
from app.ui.shell.part import Part
from app.ui.shell.table_frame import TableFrame
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk import Change
    from app.desk.copies import CopiesView, Restored
    from app.ui.window import MainWindow


class CopiesPage(QWidget):
    """What is kept elsewhere. It works where the store itself cannot be read, too."""

    page_id = "copies"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.model = CopiesModel(self)
        self.last, self.away = WholeWords(role="value", bold=True), WholeWords(role="value", bold=True)
        self.trouble = WholeWords(role="value", bold=True)
        self.frame = TableFrame(
            self, self.page_id, self.model,
            (("make", "Alt+C", self.make), ("bring_back", "Enter", self.bring_back)),
            words=(self.last, self.away, self.trouble), widths={"when": 310, "device": 190},
            stretched="where", gives_way={"where": 620},
        )  # fmt: skip
        self.table, self.foot = self.frame.table, self.frame.foot
        window.copier.made.connect(self.show_view)
        window.copier.working.connect(self._show_working)
        window.copier.look()

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def show_view(self, view: CopiesView) -> None:
        """Put up what copies there are."""
        self.frame.put(view.lines)
        last = text("copies.last", at=view.last_text) if view.last_text else text("copies.none")
        self.frame.tell(self.last, last)
        away = text("copies.away_last", ago=view.away_text) if view.away_text else text("copies.away_none")
        late = view.away_text and view.overdue
        self.frame.tell(self.away, f"{away} {text('copies.overdue')}" if late else away)
        self.frame.tell(self.trouble, retold(view.trouble_text))
        self.foot.buttons["bring_back"].set_reason("" if view.lines else text("copies.nothing"))

    def make(self) -> None:
        """Make a copy now where something was entered since the last one."""
        self._window.copier.copy()

    def bring_back(self) -> None:
        """Bring the copy in hand back to a file of its own, and show both side by side."""
        line = self.frame.in_hand
        if line is None:
            return
        self._window.copier.do(
            self._window.works.watched("bring_back", lambda keeper: keeper.bring_back(line.path)),
            done=self._compare,
            failed=self._refuse,
        )

    def first_focus(self) -> None:
        """The table."""
        self.frame.first_focus()

    def parts(self) -> list[Part]:
        """Table, buttons."""
        return self.frame.parts()

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _compare(self, path: Any) -> None:
        from app.desk.copies import compared

        if self._window.session.desk is None:
            self._window.copier.do(lambda _keeper: compared(None, path), done=self._show, failed=self._refuse)
        else:
            self._window.session.fetch(
                lambda desk: compared(desk.store, path), done=self._show, refused=self._refuse
            )

    def _show(self, found: Restored) -> None:
        from app.ui.dialogs.brought_back import BroughtBackDialog

        BroughtBackDialog(self._window, found).open()

    def _refuse(self, sentence: str) -> None:
        self.frame.tell(self.trouble, sentence)

    def _show_working(self, working: bool) -> None:
        self.foot.buttons["make"].set_reason(text("copies.working") if working else "")
