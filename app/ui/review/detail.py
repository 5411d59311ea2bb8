"""The line in hand: phases side by side, its limit drawn, what was said about it, and what can be done."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.ui.review.compare_table import CompareModel, CompareTable
from app.ui.review.scale import ValueScale
from app.ui.review.talk import Talk
from app.ui.review.to_decide import DecideLine
from app.ui.shell.key_button import VerbButton
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.scroll import Scroll
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.side_by_side import Comparison
    from app.ui.plots.content import PlotContent
    from app.ui.plots.excitation import ExcitationPlot
    from ctcore.job import Job, Remark

ACTS: Final = (("sent_back", "Ctrl+B"), ("accepted", "Ctrl+A"), ("concession", "Ctrl+D"), ("comment", "F4"))
# Rows of the comparison that are shown at once; what was asked takes the room of some.
_ROWS, _ROWS_BESIDE_TALK = 8, 5
_TALL, _MORE_ROWS = 800, 8
_PLOT_TALL, _PLOT_LOW, _ROWS_BESIDE_PLOT = 400, 230, 5


class Detail(Panel):
    """What a decision is made upon."""

    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("sheet", parent=parent)
        self.model = CompareModel(self)
        self.table = CompareTable()
        self.table.setModel(self.model)
        self.heading = Line(role="heading", bold=True)
        self.place = Line(role="second")
        self.found = Words(role="finding")
        self.standing = Words(role="second")
        self.scale = ValueScale()
        self.said = Words(role="finding")
        self.first_test = Words(text("review.first_test"), role="second")
        self.talk = Talk()
        self.buttons: dict[str, VerbButton] = {}
        self.hint = Words(role="second")
        self.plot: ExcitationPlot | None = None
        self._found: Comparison | None = None
        self._narrow = False
        self._lay_out()
        self.put(None, None, (0, 0), "")
        self.talk.put(None, (), ())

    def put(
        self,
        line: DecideLine | None,
        found: Comparison | None,
        place: tuple[int, int],
        why_not: str,
        *,
        whole: bool = False,
    ) -> None:
        """Show a line, with the `whole` of what was found where the list is brief.

        `why_not` says why nothing can be decided about it now.
        """
        self.heading.set_text(line.place_text if line is not None else "")
        self.place.set_text(text("review.place", row=place[0], all=place[1]) if line is not None else "")
        self.found.setText(line.found_text if line is not None else "")
        self.found.setVisible(whole and line is not None)
        self.table.setVisible(found is not None and bool(found.rows))
        drawn = found.drawn if found is not None else None
        phases, here = (found.phases, found.here) if found is not None else ((), 0)
        self.scale.put(drawn, phases, here)
        limit = drawn.standing_text if drawn is not None else ""
        self.standing.setText(text("review.limit_from", source=limit) if limit else "")
        self.standing.setVisible(bool(limit))
        self.said.setText(_said(line))
        self.said.setVisible(bool(self.said.text()))
        self._found = found
        self.put_earlier("", {})
        self.put_curves(None)
        for act, button in self.buttons.items():
            reason = why_not
            if line is None:
                reason = text("review.no_line")
            elif act == "comment":
                reason = "" if line.can_be_asked else text("review.not_now")
            elif not reason and act not in line.allowed:
                reason = text("review.not_as_it_is" if line.allowed else "review.nothing_to_decide")
            button.set_reason(reason)
        outside = line is not None and bool(line.allowed) and "accepted" not in line.allowed
        calibration = line is not None and not line.core_id
        words = text("review.calibration_hint" if calibration else "review.outside_hint") if outside else ""
        self.hint.setText(words)

    def put_earlier(self, words: str, figures: Mapping[tuple[str, str, str], str]) -> None:
        """What the archive said of the test before, with its figures; without words, what the job knows."""
        found = self._found
        known = found is not None and any(row.previous_text for row in found.rows)
        self.model.put(found, figures)
        self._fit()
        self.first_test.setText(words or text("review.first_test"))
        self.first_test.setVisible(found is not None and (bool(words) or not known))

    def put_curves(self, content: PlotContent | None) -> None:
        """Draw the curves of an excitation test over the values, in place of the scale; None draws none."""
        if content is None:
            if self.plot is not None:
                self.plot.hide()
            return
        if self.plot is None:
            from app.ui.plots.excitation import ExcitationPlot

            self.plot = ExcitationPlot()
            self._column.insertWidget(self._column.indexOf(self.table), self.plot)
        # Where it is low, its key takes the room of the knees, which stand in the table.
        tall = self.height() >= _TALL
        self.plot.show_content(content if tall else dataclasses.replace(content, has_knees=False))
        self.plot.show()
        self.scale.hide()
        self.standing.hide()
        self._fit()

    def put_talk(self, job: Job | None, comments: Sequence[Remark], can: Sequence[str]) -> None:
        """Show what was asked about the line, and what can be said to it."""
        self.talk.put(job, comments, can)
        self._settle_buttons()
        self.first_test.setVisible(not self.first_test.isHidden() and not (comments and self._narrow))
        self._fit()
        # Qt: a height that is set while parts come and go is not always seen by the layout (6.11).
        self._column.invalidate()
        self._column.activate()

    def fold(self, *, narrow: bool) -> None:
        """On a narrow screen certificate and hint give way."""
        self._narrow = narrow
        self.place.setVisible(not narrow)
        # Where little can be seen at once, what was asked comes before the values.
        self._column.removeWidget(self.talk)
        self._column.insertWidget(1 if narrow else self._column.count() - 1, self.talk)
        for button in (*self.buttons.values(), *self.talk.buttons.values()):
            button.setFixedHeight(50 if narrow else 52)
        self._settle_buttons()
        self._fit()

    def _settle_buttons(self) -> None:
        """Where a comment waits its buttons come first; what cannot be done now gives way to them."""
        waits = self.talk.waits
        self.hint.setVisible(not self._narrow and not waits)
        for act, button in self.buttons.items():
            can = button.isEnabled() and (not self._narrow or act == "sent_back")
            button.setVisible(can or not waits)

    def _fit(self) -> None:
        self.table.fit(narrow=self._narrow)
        rows = self.model.rowCount()
        most = _ROWS if self.talk.isHidden() else _ROWS_BESIDE_TALK
        if self.plot is not None and not self.plot.isHidden():
            most = min(most, _ROWS_BESIDE_PLOT)
            self.plot.setFixedHeight(_PLOT_TALL if self.height() >= _TALL else _PLOT_LOW)
        if self.height() >= _TALL:
            most += _MORE_ROWS
        self.table.setFixedHeight(self.table.height_of(min(max(rows, 1), most)))

    def _lay_out(self) -> None:
        inner = QWidget()
        column = self._column = QVBoxLayout(inner)
        column.setContentsMargins(12, 10, 8, 8)
        column.setSpacing(8)
        head = QHBoxLayout()
        head.addWidget(self.heading, 1)
        self.place.setFixedWidth(96)
        head.addWidget(self.place)
        for widget in (
            self.found,
            self.first_test,
            self.table,
            self.standing,
            self.scale,
            self.said,
            self.talk,
        ):
            column.addWidget(widget)
        column.insertLayout(0, head)
        column.addStretch(1)
        foot = QHBoxLayout()
        foot.setContentsMargins(12, 4, 12, 8)
        foot.setSpacing(8)
        for act, key in ACTS:
            button = VerbButton(text(f"review.{act}"), key)
            button.setFixedHeight(52)
            button.clicked.connect(lambda _checked=False, act=act: self.asked.emit(act))
            self.buttons[act] = button
            foot.addWidget(button)
        for button in self.talk.buttons.values():
            button.setFixedHeight(52)
            foot.addWidget(button)
        foot.addWidget(self.hint, 1)
        foot.addStretch(0)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(Scroll(inner), 1)
        outer.addLayout(foot)
        self.talk.asked.connect(self.asked)
        self.table.setFocusPolicy(Qt.FocusPolicy.StrongFocus)


def _said(line: DecideLine | None) -> str:
    """The decision with its reason; what was found stands in the list."""
    if line is None or not line.reason_text:
        return ""
    said = text("review.because", decided=line.decided_text, reason=line.reason_text)
    holds = text("review.holds", valid=line.valid_text) if line.valid_text else ""
    return "; ".join(part for part in (said, holds) if part)
