"""The comments of a line with what was said to them, and what can be said next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.report.wording import reading_words
from app.ui.models.jobs import local_time_text
from app.ui.shell.key_button import VerbButton
from app.ui.shell.lettering import Words
from app.ui.texts import text
from app.words import told
from ctcore.job import STEP_WORDS, Job, Remark

if TYPE_CHECKING:
    from ctcore.job import CommentStep

ACTS: Final = (("answer", "Ctrl+K"), ("close", "Ctrl+K"), ("reopen", "Shift+F4"))


class Talk(QWidget):
    """Everything that was asked about a line; the oldest comment that is not closed is the one in hand.

    Its buttons stand where the page puts them, so that they never scroll away.
    """

    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = Words(role="finding")
        self.in_hand: Remark | None = None
        self.buttons: dict[str, VerbButton] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.words)
        for act, key in ACTS:
            button = VerbButton(text(f"review.comment.{act}"), key)
            button.clicked.connect(lambda _checked=False, act=act: self.asked.emit(act))
            self.buttons[act] = button

    def put(self, job: Job | None, comments: Sequence[Remark], can: Sequence[str]) -> None:
        """Show the comments of a line; `can` names what who sits here may say to them."""
        waiting = [one for one in comments if one.state in ("open", "answered")]
        self.in_hand = next(iter(waiting), None)
        state = self.in_hand.state if self.in_hand is not None else ""
        fits = {"answer": state == "open", "close": bool(state), "reopen": state == "answered"}
        for act, button in self.buttons.items():
            button.setVisible(act in can and fits[act])
        told = [_told(job, one) for one in comments] if job is not None else []
        self.words.setText("\n".join(told))
        self.setVisible(bool(comments))

    @property
    def waits(self) -> bool:
        """Whether who sits here can say something to the comment in hand."""
        return any(not button.isHidden() for button in self.buttons.values())

    def act_of(self, key_act: str) -> str:
        """What the key does now: answer or close by one, open again by the other."""
        wanted = ("answer", "close") if key_act == "talk" else ("reopen",)
        return next((act for act in wanted if not self.buttons[act].isHidden()), "")


def _told(job: Job, one: Remark) -> str:
    names = {person.person_id: person.name_text for person in job.people}

    def said(entry: Remark | CommentStep, words: str) -> str:
        name = names.get(entry.person_id, entry.person_id)
        about = reading_words(job, entry.reading_id)
        pinned = text("review.comment.about", reading=about) if about else ""
        return f"{name}, {local_time_text(entry.at_utc)}{pinned}: {words}"

    lines = [said(one, f"{one.text} [{one.state}]" if one.state else one.text)]
    for step in one.steps:
        word = told(f"step.{step.kind}", STEP_WORDS[step.kind])
        lines.append(f"    {said(step, f'{word}: {step.text}' if step.text else word)}")
    return "\n".join(lines)
