"""A comment pinned to a line or one of its readings, and the answer of who tested with its reading."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from app.desk.commenting import readings_of
from app.report.wording import reading_words
from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.lettering import Words
from app.ui.texts import text
from ctcore.job import Answer, Job, Reading, Remark

if TYPE_CHECKING:
    from app.desk import Desk
    from app.ui.review.to_decide import DecideLine
    from app.ui.window import MainWindow

ANSWERS: Final[tuple[Answer, ...]] = ("retest", "correction", "rebuttal")


class CommentDialog(DialogFrame):
    """Asks which value or point is meant, and what is asked about it."""

    def __init__(self, window: MainWindow, line: DecideLine, job: Job) -> None:
        super().__init__(
            text("review.comment_heading"), main=text("review.comment_main"), width=720, parent=window
        )
        self._window, self._key = window, line.key
        self.body.addWidget(Words(f"{line.place_text}: {line.found_text}"))
        self.words = self.add_field(text("review.comment"), must_be_stated=True)
        read = [
            one for one in readings_of(job, line.core_id, line.procedure_id) if one.value_text is not None
        ]
        choices = (("", text("comment.whole_line")), *_choices(job, read))
        self.pinned = self.add_field(text("comment.pinned"), "", choices=choices)
        self.confirmed.connect(self._pin)

    def _pin(self) -> None:
        words, reading_id, key = self.words.value(), self.pinned.value(), self._key
        if not words:
            self.words.say(text("comment.no_words"))
            self.words.line.setFocus()
            self.fit()
            return
        self._window.session.do(
            lambda desk, job_id: desk.comment(job_id, key, words, reading_id),
            refused=self.say,
            done=lambda _change: self.accept(),
        )


@dataclass(frozen=True, slots=True)
class CanAnswer:
    """A comment, the job it stands in, and the readings that each kind of answer can refer to."""

    job: Job
    comment: Remark
    readings: Mapping[Answer, tuple[Reading, ...]]


def can_answer(desk: Desk, job_id: str, comment: Remark) -> CanAnswer:
    """Read what an answer can refer to."""
    found = {kind: desk.answer_readings(job_id, comment.remark_id, kind) for kind in ANSWERS}
    return CanAnswer(desk.view(job_id).job, comment, found)


class AnswerDialog(DialogFrame):
    """A retest, a correction or a rebuttal: with its reading, and why."""

    def __init__(self, window: MainWindow, found: CanAnswer) -> None:
        super().__init__(text("answer.heading"), main=text("answer.main"), width=720, parent=window)
        self._window, self._found = window, found
        self.body.addWidget(Words(f"“{found.comment.text}”"))
        first = next((kind for kind in ANSWERS if found.readings[kind]), "rebuttal")
        choices = tuple((kind, text(f"answer.{kind}")) for kind in ANSWERS)
        self.kind = self.add_field(text("answer.kind"), first, choices=choices)
        self.reading = self.add_field(text("answer.reading"), choices=(("", text("answer.no_reading")),))
        self.words = self.add_field(text("answer.words"), must_be_stated=True)
        self.kind.line.textChanged.connect(lambda _words: self._follow_kind())
        self.confirmed.connect(self._answer)
        self._follow_kind()

    def _follow_kind(self) -> None:
        """Offer the readings of that kind of answer, the newest first."""
        readings = self._found.readings[self._kind()]
        choices = _choices(self._found.job, readings) or (("", text("answer.no_reading")),)
        self.reading.line.choices = tuple(choices)
        self.reading.line.setModified(False)
        self.reading.show_text(choices[0][0])
        missing = not readings and self._kind() != "rebuttal"
        self.reading.note(text(f"answer.none_yet.{self._kind()}") if missing else "")
        self.fit()

    def _kind(self) -> Answer:
        return next((kind for kind in ANSWERS if kind == self.kind.value()), "rebuttal")

    def _answer(self) -> None:
        words, kind, reading_id = self.words.value(), self._kind(), self.reading.value()
        if not words:
            self.words.say(text("answer.no_words"))
            self.words.line.setFocus()
            self.fit()
            return
        remark_id = self._found.comment.remark_id
        self._window.session.do(
            lambda desk, job_id: desk.answer_comment(job_id, remark_id, kind, words, reading_id),
            refused=self.say,
            done=lambda _change: self.accept(),
        )


def _choices(job: Job, readings: list[Reading] | tuple[Reading, ...]) -> tuple[tuple[str, str], ...]:
    """Each reading in words; two that would read alike are told apart by their number."""
    named: dict[str, str] = {}
    for one in readings:
        words = reading_words(job, one.reading_id)
        named[one.reading_id] = words if words not in named.values() else f"{words} ({len(named) + 1})"
    return tuple(named.items())
