"""The queue to the archive: what waits, what is archived, what was refused and why; try now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from app.ui.models.sending import SendingModel
from app.ui.shell.lettering import WholeWords
from app.ui.shell.part import Part
from app.ui.shell.table_frame import TableFrame
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk import Change
    from app.ui.shell.sender import SendingView
    from app.ui.window import MainWindow


class SendingPage(QWidget):
    """Everything that was issued here, the newest job first."""

    page_id = "sending"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.model = SendingModel(self)
        self.state, self.trouble = WholeWords(role="value", bold=True), WholeWords(role="value", bold=True)
        self.said = WholeWords(role="value")
        self.frame = TableFrame(
            self, self.page_id, self.model,
            (("try_now", "Alt+R", self.try_now), ("open", "Enter", self.open_job)),
            words=(self.state, self.trouble, self.said),
            widths={"number": 190, "revision": 110, "state": 150, "when": 280}, stretched="said",
            gives_way={"when": 1000, "revision": 620},
        )  # fmt: skip
        self.table, self.foot = self.frame.table, self.frame.foot
        self.table.selectionModel().currentChanged.connect(lambda *_: self._tell_line())
        window.sending.told.connect(self.show_view)
        window.sending.working.connect(self._show_working)
        self.show_view(window.sending.view)
        window.sending.look()

    def show_change(self, _change: Change) -> None:
        """What was issued is told by the sender."""

    def show_view(self, view: SendingView) -> None:
        """Put up where everything stands."""
        self.frame.put(view.lines)
        words = (view.words or text("sending.nothing")) if view.place_text else text("sending.no_place")
        tried = text("sending.tried", at=view.tried_text) if view.tried_text else ""
        state = " ".join(part for part in (f"{words[:1].upper()}{words[1:]}.", tried) if part)
        self.frame.tell(self.state, state)
        self.frame.tell(self.trouble, retold(view.trouble_text))
        self.foot.buttons["open"].set_reason("" if view.lines else text("sending.nothing"))
        self.foot.buttons["try_now"].set_reason("" if view.place_text else text("sending.no_archive"))
        self._tell_line()

    def try_now(self) -> None:
        """Send at once what waits."""
        self._window.sending.send()

    def open_job(self) -> None:
        """Open the job in hand."""
        line = self.frame.in_hand
        if line is not None:
            self._window.open_job(line.job_id)

    def first_focus(self) -> None:
        """The table."""
        self.frame.first_focus()

    def parts(self) -> list[Part]:
        """Table, buttons."""
        return self.frame.parts()

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _tell_line(self) -> None:
        """All that the archive said of the line in hand: the table may have cut it short."""
        line = self.frame.in_hand
        self.frame.tell(self.said, retold(line.state_text) if line is not None else "")

    def _show_working(self, working: bool) -> None:
        self.foot.buttons["try_now"].set_reason(text("sending.working") if working else "")
