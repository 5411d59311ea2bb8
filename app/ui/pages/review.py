"""Waiting for review, and what is to be decided in the job in hand."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, QKeyCombination, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.desk import Change
from app.ui.dialogs.decide import DecideDialog
from app.ui.dialogs.papers import file_name
from app.ui.dialogs.reason import ReasonDialog
from app.ui.dialogs.signing import SignDialog
from app.ui.review.detail import Detail
from app.ui.review.foot import Foot
from app.ui.review.queue_list import QueueDelegate, QueueModel
from app.ui.review.state import ReviewState, alike, comments_of, read
from app.ui.review.to_decide import DecideLine, ToDecideDelegate, ToDecideModel
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.lines_view import LinesView
from app.ui.shell.part import Part
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.side_by_side import Comparison
    from app.ui.window import MainWindow

NARROW: Final = 1000
_QUEUE_WIDTH: Final = 232
_CTRL, _NONE = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.NoModifier
KEYS: Final = {
    QKeyCombination(_CTRL, Qt.Key.Key_B): "sent_back",
    QKeyCombination(_CTRL, Qt.Key.Key_A): "accepted",
    QKeyCombination(_CTRL, Qt.Key.Key_D): "concession",
    QKeyCombination(_NONE, Qt.Key.Key_F4): "comment",
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
        self._wanted: tuple[str, str, str] | None = None
        self._begins = False
        self.queue_model, self.model = QueueModel(self), ToDecideModel(self)
        self.queue, self.lines = LinesView(), LinesView()
        self.detail, self.foot = Detail(), Foot()
        self.heading, self.counts = Line(role="value", bold=True), Line(role="value", bold=True)
        self.facts = Line(role="second")
        self.empty = Words(role="body")
        self._lay_out()
        self._connect()

    # What the window asks

    def show_change(self, change: Change) -> None:
        """A job was put on the table, or a decision was made: look again."""
        if self.state.view is None or change.view.job.job_id != self.state.view.job.job_id:
            self._compared.clear()
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
        self._window.session.fetch(lambda desk: read(desk, job_id), done=self._put)

    # What comes back

    def _put(self, state: ReviewState) -> None:
        before = self.model.line(self.lines.row)
        self.state = state
        self.queue_model.put(state.queue)
        ids = [line.job_id for line in state.queue]
        mine = state.view.job.job_id if state.view is not None else ""
        self.queue.take(ids.index(mine) if mine in ids else max(self.queue.row, 0))
        self.model.put(state.lines)
        keys = [line.key for line in state.lines]
        if before is not None and before.key in keys:
            self.lines.take(keys.index(before.key))
        else:
            self.lines.take(0)
        self._tell()
        self._show_line()
        self._fold(queue_wanted=not state.lines)
        if self._window.front is self and (self._begins or not self._has_focus()):
            (self.lines if state.lines else self.queue).setFocus()
        self._begins = False

    def _has_focus(self) -> bool:
        focus = self._window.focusWidget()
        return focus is not None and (focus is self or self.isAncestorOf(focus)) and focus.isVisible()

    def _tell(self) -> None:
        state = self.state
        waiting = len(state.queue)
        self.queue_head.set_text(text("review.waiting_count", count=waiting) if waiting else "")
        view, line = state.view, state.revision
        self.middle.setVisible(view is not None)
        self.detail.setVisible(view is not None)
        self.empty.setVisible(view is None)
        self.empty.setText(text("review.choose" if waiting else "review.nothing"))
        self.foot.put(state, me_text=self._window.settings.me()[1])
        if view is None or line is None:
            self.heading.set_text("")
            self.counts.set_text("")
            self.facts.set_text("")
            return
        self.heading.set_text(text("review.of", open=state.open_count, all=len(state.lines)))
        self.facts.set_text(
            text(
                "review.facts",
                revision=line.revision,
                state=text(f"state.{view.job.state}"),
                name=line.name_text,
            )
        )
        counts: Mapping[str, int] = state.counts or {}
        self.counts.set_text(
            " · ".join(
                f"{counts[verdict]} {verdict}"
                for verdict in ("outside", "refer", "not tested", "within", "not applicable")
                if counts.get(verdict)
            )
        )

    def _line(self) -> DecideLine | None:
        found: DecideLine | None = self.model.line(self.lines.row)
        return found

    def _show_line(self) -> None:
        """Show the line in hand at once; what it is compared with comes when it was read."""
        line = self._line()
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
            self._draw(self._line(), found)

    def _compare_key(self, line: DecideLine | None) -> tuple[str, str, str] | None:
        view = self.state.view
        if line is None or view is None or not line.core_id:
            return None
        return (view.job.job_id, line.core_id, line.procedure_id)

    def _draw(self, line: DecideLine | None, found: Comparison | None) -> None:
        view = self.state.view
        comments = comments_of(view.job, line.key) if view is not None and line is not None else []
        place = (self.lines.row + 1, self.model.rowCount())
        self.detail.put(line, found, comments, place, self._why_no_decision())

    def _why_no_decision(self) -> str:
        view = self.state.view
        if view is None or view.job.state != "handed_in":
            return text("review.not_now")
        me, line = self._window.settings.me()[1], self.state.revision
        return text("review.own_job") if line is not None and line.name_text == me else ""

    # What can be done

    def do(self, act: str) -> None:
        """A decision, a comment, or the signature that closes the review."""
        line = self._line()
        if act == "sign":
            self._sign_next()
        elif line is None or not self.detail.buttons[act].isEnabled():
            self._window.bar.say(self.detail.hint.text() or self._why_no_decision())
        elif act == "comment":
            self._comment(line)
        else:
            DecideDialog(self._window, act, line, alike(self.state.lines, line)).open()

    def _comment(self, line: DecideLine) -> None:
        dialog = ReasonDialog(
            text("review.comment_heading"), line.place_text, main=text("review.comment_main"),
            caption=text("review.comment"), parent=self._window,
        )  # fmt: skip
        dialog.given.connect(
            lambda words: self._window.session.do(
                lambda desk, job_id: desk.comment(job_id, line.key, words),
                refused=dialog.say,
                done=lambda _change: dialog.accept(),
            )
        )
        dialog.open()

    def next_open(self) -> None:
        """Go to the next line without a decision; where there is none, to the button that signs."""
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
            self._sign(self.foot.main_act)

    def _choose(self) -> None:
        """Enter on a line: who decides goes on to the next one, who tested opens the test."""
        if self.foot.main_act == "open":
            self._open_test()
        else:
            self.next_open()

    def _open_test(self) -> None:
        line = self._line()
        if line is not None and line.core_id:
            self._window.go_to(line.core_id, line.procedure_id)

    def _sign_next(self) -> None:
        acts = {"approve", "issue", "send_back", "write"}
        self._sign(self.foot.main_act if self.foot.main_act in acts else "send_back")

    def _sign(self, act: str) -> None:
        view, step = self.state.view, self.state.step(act)
        if view is None:
            return
        if act == "write":
            self._window.deeds.write_signed()
            return
        if step is None or step.why_not:
            self._window.bar.say(self.foot.sentence.text)
            return
        name, all_lines = view.job.header.number_text, len(self.state.lines)
        tester = self.state.revision.name_text if self.state.revision is not None else ""
        told = text(f"{act}.told", number=name, count=self.state.back_count, all=all_lines, name=tester)
        ending = {"approve": "", "send_back": " answer.json", "issue": " issued.zip"}[act]
        path = self._window.settings.folder / "sheets" / file_name(view, ending) if ending else None
        SignDialog(self._window, act, told=told, path=path, with_reason=act == "send_back").open()

    def _open(self, row: int) -> None:
        line = self.queue_model.line(row)
        if line is None:
            return
        if line.job_id == self._window.session.job_id:
            self.lines.setFocus()
        else:
            self._begins = True
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
        self.foot.back.clicked.connect(lambda: self._sign("send_back"))

    def _lay_out(self) -> None:
        self.queue.setModel(self.queue_model)
        self.queue.setItemDelegate(QueueDelegate(self.queue))
        self.queue.setAccessibleName(text("review.waiting"))
        self.lines.setModel(self.model)
        self.lines.setItemDelegate(ToDecideDelegate(self.lines))
        self.lines.setAccessibleName(text("review.to_decide"))
        self.queue_head = Line(role="second")
        self.queue_box = self._box(
            text("review.waiting"), self.queue_head, self.queue, rules="right", width=_QUEUE_WIDTH
        )
        self.middle = self._box("", self.heading, self.lines, rules="right")
        self.empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.empty.setMargin(16)
        head = self._head = Panel("sheet", rules="bottom")
        head.setFixedHeight(44)
        row = QHBoxLayout(head)
        row.setContentsMargins(16, 0, 16, 0)
        row.setSpacing(24)
        row.addWidget(self.facts, 1)
        row.addWidget(self.counts)
        self.counts.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        grid.addWidget(self.queue_box, 0, 0, 2, 1)
        grid.addWidget(head, 0, 1, 1, 2)
        grid.addWidget(self.middle, 1, 1)
        grid.addWidget(self.detail, 1, 2)
        grid.addWidget(self.empty, 1, 1, 1, 2)
        grid.addWidget(self.foot, 2, 0, 1, 3)
        grid.setColumnStretch(1, 38)
        grid.setColumnStretch(2, 62)
        grid.setRowStretch(1, 1)

    def _box(self, heading: str, second: Line, view: LinesView, *, rules: str, width: int = 0) -> Panel:
        box = Panel("sheet", rules=rules)
        if width:
            box.setFixedWidth(width)
        column = QVBoxLayout(box)
        column.setContentsMargins(0, 8, 1, 0)
        column.setSpacing(2)
        for line in ([Line(heading, role="value", bold=True)] if heading else []) + [second]:
            row = QHBoxLayout()
            row.setContentsMargins(14, 0, 8, 0)
            row.addWidget(line)
            column.addLayout(row)
        column.addSpacing(4)
        column.addWidget(view, 1)
        return box

    def _fold(self, *, queue_wanted: bool) -> None:
        narrow = self.width() < NARROW
        self.queue_box.setVisible(not narrow or queue_wanted or self.state.view is None)
        in_job = self.state.view is not None
        self.middle.setVisible(in_job and not (narrow and queue_wanted))
        self._head.setVisible(not narrow)
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
