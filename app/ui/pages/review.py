"""Waiting for review, and what is to be decided in the job in hand."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, QKeyCombination, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from app.desk import Change
from app.desk.states import row_of
from app.ui.review.acts import ReviewActs, place_of
from app.ui.review.detail import Detail
from app.ui.review.earlier import Earlier
from app.ui.review.foot import Foot
from app.ui.review.queue_box import ORDERS, QueueBox
from app.ui.review.state import ReviewState, read
from app.ui.review.to_decide import DecideLine, ToDecideDelegate, ToDecideModel
from app.ui.review.view_tabs import SHEET, VIEWS, ViewTabs
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.lines_view import LinesView
from app.ui.shell.part import Part
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.side_by_side import Comparison
    from app.ui.window import MainWindow

NARROW: Final = 1000
_CTRL, _NONE = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.NoModifier
_SHIFT, _ALT = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.AltModifier
_DIGITS: Final = (Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_3, Qt.Key.Key_4)
_LETTERS: Final = (Qt.Key.Key_W, Qt.Key.Key_A, Qt.Key.Key_O)
KEYS: Final = {
    QKeyCombination(_CTRL, Qt.Key.Key_B): "sent_back",
    QKeyCombination(_CTRL, Qt.Key.Key_A): "accepted",
    QKeyCombination(_CTRL, Qt.Key.Key_D): "concession",
    QKeyCombination(_NONE, Qt.Key.Key_F4): "comment",
    QKeyCombination(_CTRL, Qt.Key.Key_K): "talk",
    QKeyCombination(_SHIFT, Qt.Key.Key_F4): "reopen",
    **{QKeyCombination(_ALT, key): act for key, act in zip(_DIGITS, (*VIEWS, SHEET), strict=True)},
    **{QKeyCombination(_ALT, key): act for key, act in zip(_LETTERS, ORDERS, strict=True)},
    QKeyCombination(_CTRL, Qt.Key.Key_Return): "sign",
    QKeyCombination(_CTRL, Qt.Key.Key_Enter): "sign",
}


class ReviewPage(QWidget):
    """What waits at the left, lines to decide in the middle, the line in hand at the right."""

    page_id = "review"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.state = ReviewState(queue=())
        self._compared: dict[tuple[str, str, str], Comparison | None] = {}
        self._compared_of = ("", "")
        self._wanted: tuple[str, str, str] | None = None
        self._begins = False
        self.queue_box, self.tabs = QueueBox(), ViewTabs()
        self.queue, self.queue_model = self.queue_box.list, self.queue_box.model
        self.model, self.lines = ToDecideModel(self), LinesView()
        self.detail, self.foot = Detail(), Foot()
        self.earlier = Earlier(window, self.detail)
        self.acts = ReviewActs(self, window)
        self.facts = Line(role="second")
        self.empty = Words(role="body")
        self._lay_out()
        self._connect()

    # What the window asks

    def show_change(self, change: Change) -> None:
        """A job was put on the table, or a decision was made: look again."""
        view = change.view
        compared_of = (view.job.job_id, view.revisions[-1].digest_hex if view.revisions else "")
        # What is frozen is compared once; anything else may have changed.
        if compared_of != self._compared_of or not row_of(view.job.state).locked:
            self._compared.clear()
        self._compared_of = compared_of
        if self.isVisible():
            self.look()

    def first_focus(self) -> None:
        """The lines to decide, or what waits where no job is in hand."""
        self._begins = True
        self.look()
        (self.lines if self.model.rowCount() and self.lines.isVisible() else self.queue).setFocus()

    def parts(self) -> list[Part]:
        """What waits, lines, values, buttons."""
        buttons = self.foot.main
        return [
            Part(self.queue, self.queue.setFocus),
            Part(self.lines, self.lines.setFocus),
            Part(self.detail, self.detail.table.setFocus),
            Part(self.foot, buttons.setFocus),
        ]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def show_queue(self) -> None:
        """What waits, also where the screen is narrow."""
        self._fold(queue_wanted=self.queue_box.isHidden())
        (self.queue if self.queue.isVisible() else self.lines).setFocus()

    def look(self) -> None:
        """Read again what waits and what is decided."""
        job_id = self._window.session.job_id
        view_id = self.tabs.view_id
        self._window.session.fetch(lambda desk: read(desk, job_id, view_id), done=self._put)

    # What comes back

    def _put(self, state: ReviewState) -> None:
        before = self.model.line(self.lines.row)
        self.state = state
        self.queue_model.put(state.queue)
        ids = [line.job_id for line in state.queue]
        mine = state.view.job.job_id if state.view is not None else ""
        self.queue.take(ids.index(mine) if mine in ids else max(self.queue.row, 0))
        self.delegate.brief = self.tabs.view_id == "all"
        self.lines.setUniformItemSizes(self.delegate.brief)
        self.model.put(state.shown)
        keys = [line.key for line in state.shown]
        if before is not None and before.key in keys:
            self.lines.take(keys.index(before.key))
        else:
            self.lines.take(0)
        self._tell()
        self._show_line()
        self._fold(queue_wanted=state.view is None)
        if self._window.front is self and (self._begins or not self._has_focus()):
            (self.lines if state.view is not None else self.queue).setFocus()
        self._begins = False

    def _has_focus(self) -> bool:
        focus = self._window.focusWidget()
        return focus is not None and (focus is self or self.isAncestorOf(focus)) and focus.isVisible()

    def _tell(self) -> None:
        state = self.state
        waiting = len(state.queue)
        self.queue_box.count.set_text(text("review.waiting_count", count=waiting) if waiting else "")
        self.queue_box.show_order(self._window.settings.get("review_order"))
        view, line = state.view, state.revision
        self.middle.setVisible(view is not None)
        self.detail.setVisible(view is not None)
        self.empty.setVisible(view is None)
        self.empty.setText(text("review.choose" if waiting else "review.nothing"))
        self.foot.put(state, me_text=self._window.settings.me()[1])
        self.tabs.put(state, narrow=self.width() < NARROW)
        told = ""
        if view is not None and line is not None:
            job_state = text(f"state.{view.job.state}")
            told = text("review.facts", revision=line.revision, state=job_state, name=line.name_text)
        self.facts.set_text(told)

    def _show_line(self) -> None:
        """Show the line in hand at once; what it is compared with comes when it was read."""
        line = self.line_in_hand()
        key = self._compare_key(line)
        self._wanted = key
        self._draw(line, self._compared.get(key) if key is not None else None)
        if line is None or key is None or key in self._compared:
            return
        job_id, core_id, procedure_id = key
        self._window.session.fetch(
            lambda desk: desk.compare(job_id, core_id, procedure_id),
            done=lambda found: self._take_compared(key, found),
        )

    def _take_compared(self, key: tuple[str, str, str], found: Comparison | None) -> None:
        self._compared[key] = found
        if key == self._wanted:
            self._draw(self.line_in_hand(), found)

    def _compare_key(self, line: DecideLine | None) -> tuple[str, str, str] | None:
        view = self.state.view
        if line is None or view is None or not line.core_id:
            return None
        return (view.job.job_id, line.core_id, line.procedure_id)

    def _draw(self, line: DecideLine | None, found: Comparison | None) -> None:
        place = (self.lines.row + 1, self.model.rowCount())
        self.detail.put(line, found, place, self.why_no_decision(), whole=self.delegate.brief)
        comments = self.state.comments.get(line.key, ()) if line is not None else ()
        view = self.state.view
        self.detail.put_talk(view.job if view is not None else None, comments, self.acts.can_say())
        if view is not None and line is not None and found is not None:
            self.earlier.show(view, line)
        else:
            self.earlier.forget()

    def why_no_decision(self) -> str:
        """Why nothing can be decided now; empty where it can."""
        view = self.state.view
        if view is None or view.job.state != "handed_in":
            return text("review.not_now")
        me, line = self._window.settings.me()[1], self.state.revision
        return text("review.own_job") if line is not None and line.name_text == me else ""

    # What can be done

    def do(self, act: str) -> None:
        """A decision, a comment or its answer, the signature that closes the review; a view, an order."""
        if act in ORDERS:
            self._order(act)
        elif act in (*VIEWS, SHEET):
            self._show_view(act)
        else:
            self.acts.do(act)

    def line_in_hand(self) -> DecideLine | None:
        """The line in hand."""
        found: DecideLine | None = self.model.line(self.lines.row)
        return found

    def next_open(self) -> None:
        """Go to the next line that waits; where there is none, to the button that signs."""
        if self.tabs.view_id != "to_decide" and self.state.open_count and self.model.next_open(-1) < 0:
            self._show_view("to_decide")
            return
        row = self.model.next_open(self.lines.row)
        if row < 0:
            self.foot.main.setFocus()
            return
        self.lines.take(row)
        self.lines.setFocus()

    def _main(self) -> None:
        if self.foot.main_act == "next":
            self.next_open()
        elif self.foot.main_act == "open":
            self._open_test()
        else:
            self.acts.sign(self.foot.main_act)

    def _choose(self) -> None:
        """Enter on a line: who decides goes on to the next one, who tested opens the test."""
        if self.foot.main_act == "open":
            self._open_test()
        elif self.tabs.view_id == "to_decide":
            self.next_open()
        else:
            self.lines.take(self.lines.row + 1)

    def _open_test(self) -> None:
        place = place_of(self.line_in_hand())
        if place is not None:
            self._window.go_to(*place)

    def _show_view(self, view_id: str) -> None:
        if view_id == SHEET:
            self._window.deeds.do("preview")
            return
        if self.tabs.tabs[view_id].isHidden():
            return
        self.tabs.open(view_id)
        self._begins = True
        self.look()

    def _order(self, order: str) -> None:
        self._window.settings.change(review_order=order)
        self.look()

    def _open(self, row: int) -> None:
        line = self.queue_model.line(row)
        if line is None:
            return
        if line.job_id == self._window.session.job_id:
            self.lines.setFocus()
        else:
            self._begins = True
            self.tabs.open("to_decide")
            self._window.session.open_job(line.job_id)
        if self.width() < NARROW:
            self._fold(queue_wanted=False)

    # Around

    def _connect(self) -> None:
        self.queue.chosen.connect(self._open)
        self.lines.in_hand.connect(lambda _row: self._show_line())
        self.lines.chosen.connect(lambda _row: self._choose())
        self.detail.asked.connect(self.do)
        self.foot.main.clicked.connect(self._main)
        self.foot.back.clicked.connect(lambda: self.acts.sign("send_back"))
        self.tabs.asked.connect(self.do)
        self.queue_box.ordered.connect(self.do)

    def _lay_out(self) -> None:
        self.lines.setModel(self.model)
        self.delegate = ToDecideDelegate(self.lines)
        self.lines.setItemDelegate(self.delegate)
        self.lines.setAccessibleName(text("review.to_decide"))
        self.middle = self._make_middle()
        self.empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.empty.setMargin(16)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        grid.addWidget(self.queue_box, 0, 0, 2, 1)
        grid.addWidget(self.tabs, 0, 1, 1, 2)
        grid.addWidget(self.middle, 1, 1)
        grid.addWidget(self.detail, 1, 2)
        grid.addWidget(self.empty, 1, 1, 1, 2)
        grid.addWidget(self.foot, 2, 0, 1, 3)
        grid.setColumnStretch(1, 38)
        grid.setColumnStretch(2, 62)
        grid.setRowStretch(1, 1)

    def _make_middle(self) -> Panel:
        box = Panel("sheet", rules="right")
        column = QVBoxLayout(box)
        column.setContentsMargins(0, 6, 1, 0)
        column.setSpacing(4)
        row = QHBoxLayout()
        row.setContentsMargins(14, 0, 8, 0)
        row.addWidget(self.facts)
        column.addLayout(row)
        column.addWidget(self.lines, 1)
        return box

    def _fold(self, *, queue_wanted: bool) -> None:
        narrow = self.width() < NARROW
        self.queue_box.setVisible(not narrow or queue_wanted or self.state.view is None)
        in_job = self.state.view is not None
        self.middle.setVisible(in_job and not (narrow and queue_wanted))
        grid = self.layout()
        assert isinstance(grid, QGridLayout)
        grid.setColumnStretch(1, 28 if narrow else 38)
        grid.setColumnStretch(2, 72 if narrow else 62)
        self.detail.fold(narrow=narrow)
        self.foot.fold(narrow=narrow)

    # Qt

    def event(self, event: QEvent) -> bool:
        """Keys of this page come before those of the window."""
        mine = isinstance(event, QKeyEvent) and event.keyCombination() in KEYS
        if mine and event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Decisions by key."""
        act = KEYS.get(event.keyCombination())
        if act is None:
            super().keyPressEvent(event)
        else:
            self.do(act)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the queue folds away while a job is in hand."""
        super().resizeEvent(event)
        self._fold(queue_wanted=False)
        QTimer.singleShot(0, self.detail, lambda: self.detail.fold(narrow=self.width() < NARROW))
