"""The foot of the review: how much is decided, what keeps it from being approved, and the next step."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.ui import theme
from app.ui.shell.key_button import VerbButton
from app.ui.shell.lettering import Line, Panel
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.ui.review.state import ReviewState


class Foot(Panel):
    """Decided so far, one sentence, two buttons."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("sheet", rules="top", weight=2, parent=parent)
        self.main_act = "next"
        self._narrow = self._counted = self._can_go_back = self._some_go_back = False
        self.decided = Line(role="main", bold=True)
        self.decided_caption = Line(text("review.decided"), role="label")
        self.sentence, self.more = Line(role="value"), Line(role="second")
        self.back = VerbButton("", "Ctrl+Enter")
        self.main = VerbButton(text("review.next"), "Enter", main=True)
        self.main.setMinimumWidth(220)
        self.setFixedHeight(theme.density().main_button + 6)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 4, 4, 2)
        row.setSpacing(8)
        left = QVBoxLayout()
        left.setSpacing(0)
        left.addWidget(self.decided_caption)
        left.addWidget(self.decided)
        self._left = QWidget()
        self._left.setLayout(left)
        self._left.setFixedWidth(110)
        middle = QVBoxLayout()
        middle.setSpacing(2)
        middle.addStretch(1)
        middle.addWidget(self.sentence)
        middle.addWidget(self.more)
        middle.addStretch(1)
        row.addWidget(self._left)
        row.addLayout(middle, 1)
        row.addWidget(self.back)
        row.addWidget(self.main)

    def put(self, state: ReviewState, *, me_text: str) -> None:
        """Say where the review stands and offer what comes next."""
        view = state.view
        settled, count = len(state.lines) - state.open_count, len(state.lines)
        self._counted = view is not None and count > 0
        self.decided.set_text(text("review.count", settled=settled, all=count))
        self.main.setVisible(view is not None)
        self._can_go_back = view is not None and view.job.state == "handed_in"
        self.back.set_words(text("review.send_back", count=state.back_count))
        self._some_go_back = state.back_count > 0
        self._settle()
        if view is None:
            self.sentence.set_text("")
            self.more.set_text("")
            return
        self.main_act, self.more_text = _next(state, me_text)
        back = state.step("send_back")
        self.back.set_reason(text("review.none_goes_back") if back is not None and back.why_not else "")
        self.sentence.set_text(_sentence(state))
        self.more.set_text(self.more_text)
        self.main.set_words(text(f"review.main.{self.main_act}"))
        self.main.set_reason(text("review.own_job") if _own(state) else "")

    def fold(self, *, narrow: bool) -> None:
        """On a narrow screen the count gives way, which the list says too, and what cannot be done now."""
        self._narrow = narrow
        self._settle()
        self.more.setVisible(not narrow)
        self.main.setMinimumWidth(120 if narrow else 220)

    def _settle(self) -> None:
        self._left.setVisible(self._counted and not self._narrow)
        self.back.setVisible(self._can_go_back and (self._some_go_back or not self._narrow))


def _own(state: ReviewState) -> bool:
    step = state.step("approve")
    return step is not None and any("somebody else has to decide" in one for one in step.why_not)


def _next(state: ReviewState, me_text: str) -> tuple[str, str]:
    """The act of the main button, and what it means."""
    assert state.view is not None
    tester = state.revision.name_text if state.revision is not None else ""
    if state.view.job.state == "approved":
        return "issue", text("review.more.issue", name=me_text)
    if state.view.job.state == "sent_back" and tester == me_text:
        return "open", text("review.more.open")
    if state.view.job.state != "handed_in":
        return "write", text("review.more.write")
    if state.open_count:
        return "next", text("review.more.next", name=tester)
    if state.back_count:
        return "send_back", text("review.more.send_back", name=tester)
    return "approve", text("review.more.approve", name=me_text)


def _sentence(state: ReviewState) -> str:
    from app.desk.states import sentence

    assert state.view is not None
    words = text(f"review.state.{state.view.job.state}")
    step = state.step("approve")
    if step is None:
        return f"{words} {state.view.away_text}".strip() + "."
    return retold(sentence(step.words, step.why_not)) if step.why_not else text("review.can_approve")
