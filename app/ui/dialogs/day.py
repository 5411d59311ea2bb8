"""The order of tests of one core: moved, left out with a reason, taken up again, gone to."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent

from app.desk import Change
from app.desk.day import day_of, departures_of, moved
from app.desk.readiness import place_words
from app.ui.dialogs.frame import DialogFrame
from app.ui.models.day import DayModel
from app.ui.shell.lettering import Words
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text
from app.ui.widgets.ask import Ask
from ctcore.job import places

if TYPE_CHECKING:
    from app.desk import Desk, View
    from app.ui.window import MainWindow

_REASONS: Final = ("day.reason.not_built", "day.reason.outage", "day.reason.agreed", "day.reason.spare")
_SHARES: Final = (0.05, 0.30, 0.33, 0.20, 0.12)
_TIGHT_SHARES: Final = (0.07, 0.25, 0.23, 0.27, 0.18)
_TIGHT: Final = 800
# What stands around the rows in the height of the window.
_AROUND_PX: Final = 330


class DayTable(RuledTable):
    """Ctrl with an arrow moves a test, Delete leaves it out or takes it up again."""

    shifted = Signal(int)
    dropped = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """What changes the plan; the rest moves the row in hand."""
        steps = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier and event.key() in steps:
            self.shifted.emit(steps[Qt.Key(event.key())])
        elif event.key() == Qt.Key.Key_Delete:
            self.dropped.emit()
        else:
            super().keyPressEvent(event)


class DayDialog(DialogFrame):
    """The plan of the core in hand with its times; every change is one verb and one undo."""

    def __init__(self, window: MainWindow, core_id: str) -> None:
        view = window.session.view
        assert view is not None
        place = next(entry for entry in places(view.job) if entry.core.core_id == core_id)
        super().__init__(
            text("day.heading", place=place_words(place)), main=text("day.main"), intro=text("day.intro"),
            width=1060, parent=window,
        )  # fmt: skip
        self._window, self._core_id = window, core_id
        self.model = DayModel(self)
        self.table = DayTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(text("day.table"))
        self.why, self.departures = Words(role="finding"), Words(role="finding")
        for part in (self.table, self.why, self.departures):
            self.body.addWidget(part)
        self.drop = self.add_button(text("day.drop"), text("key.del"))
        self.later = self.add_button(text("day.later"), "Ctrl+↓")
        self.earlier = self.add_button(text("day.earlier"), "Ctrl+↑")
        self.earlier.clicked.connect(lambda: self._shift(-1))
        self.later.clicked.connect(lambda: self._shift(+1))
        self.drop.clicked.connect(self._drop)
        self.table.shifted.connect(self._shift)
        self.table.dropped.connect(self._drop)
        self.table.chosen.connect(lambda _row: self._go())
        self.table.selectionModel().currentChanged.connect(lambda *_: self._tell_why())
        self.confirmed.connect(self._go)
        self._show(view, self._first())

    def _first(self) -> str:
        view = self._window.session.view
        lines = () if view is None else day_of(view, self._core_id)
        return next((line.step.procedure_id for line in lines if line.is_next), "")

    def _show(self, view: View, in_hand: str) -> None:
        self.model.put(day_of(view, self._core_id))
        names = [line.step.procedure_id for line in self.model.lines]
        row = names.index(in_hand) if in_hand in names else 0
        self.table.setCurrentIndex(self.model.index(row, 0))
        room = max((self._window.height() - _AROUND_PX) // 44, 2)
        self.table.setFixedHeight(42 + 44 * min(len(names), room))
        noticed = departures_of(view, self._core_id)
        self.departures.setText("\n".join(noticed))
        self.departures.setVisible(bool(noticed))
        self._tell_why()
        self.fit()

    def _tell_why(self) -> None:
        row = self.table.currentIndex().row()
        why = self.model.lines[row].step.why if 0 <= row < len(self.model.lines) else ""
        self.why.setText(why)
        self.table.setAccessibleDescription(why)

    def _in_hand(self) -> str:
        row = self.table.currentIndex().row()
        return self.model.lines[row].step.procedure_id if 0 <= row < len(self.model.lines) else ""

    def _shift(self, by: int) -> None:
        name = self._in_hand()
        plan = [line.step.procedure_id for line in self.model.lines if line.is_planned]
        order = moved(plan, name, by) if name in plan else tuple(plan)
        if list(order) != plan:
            self._do(lambda desk, job_id: desk.order_tests(job_id, self._core_id, order))

    def _drop(self) -> None:
        name = self._in_hand()
        line = next((one for one in self.model.lines if one.step.procedure_id == name), None)
        if line is None:
            return
        if line.step.left_out_text:
            self._do(lambda desk, job_id: desk.take_up(job_id, self._core_id, name))
            return
        Ask(
            self,
            text("day.ask", test=line.name),
            [text(entry) for entry in _REASONS],
            lambda _index, why: self._do(
                lambda desk, job_id: desk.leave_out(job_id, self._core_id, name, why)
            ),
        ).open()

    def _do(self, verb: Callable[[Desk, str], Change]) -> None:
        in_hand = self._in_hand()

        def done(change: Change) -> None:
            self._show(change.view, in_hand)

        self.say("")
        self._window.session.do(verb, refused=self.say, done=done)

    def _go(self) -> None:
        name = self._in_hand()
        self.accept()
        if name:
            self._window.go_to(self._core_id, name)

    def showEvent(self, event: QShowEvent) -> None:
        """The table takes the keys."""
        super().showEvent(event)
        self._fit_columns()
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Columns by the room there is."""
        super().resizeEvent(event)
        self._fit_columns()

    def _fit_columns(self) -> None:
        room = self.table.viewport().width()
        for column, share in enumerate(_SHARES if room >= _TIGHT else _TIGHT_SHARES):
            self.table.setColumnWidth(column, int(room * share))
