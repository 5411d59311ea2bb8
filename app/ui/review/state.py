"""Everything the page of who decides shows of a job, read in one go beside the window's thread."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from app.desk import Desk, View
from app.desk.commenting import line_of_comment
from app.desk.looking import Changed
from app.desk.queue import QueueLine
from app.desk.view import RevisionLine, StepLine
from app.ui.review.lines import Wording, every_line, to_decide
from app.ui.review.lines_changed import changed_lines
from app.ui.review.to_decide import DecideLine
from app.words import told
from ctcore.job import DECISION_WORDS, Remark

Pinned = Mapping[str, Sequence[Remark]]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewState:
    """What waits, and the job in hand with its lines; `view` is None where none is in hand.

    `shown` are the lines of the view in hand, `lines` those to decide whatever is in hand; `comments` are
    those of a line by its key.
    """

    queue: tuple[QueueLine, ...]
    view: View | None = None
    lines: tuple[DecideLine, ...] = ()
    shown: tuple[DecideLine, ...] = ()
    every_count: int = 0
    changed: Changed | None = None
    changed_count: int = 0
    comments: Pinned = field(default_factory=dict)
    steps: tuple[StepLine, ...] = ()
    counts: Counter[str] | None = None

    @property
    def revision(self) -> RevisionLine | None:
        """The revision in hand."""
        return self.view.revisions[-1] if self.view is not None and self.view.revisions else None

    @property
    def open_count(self) -> int:
        """Lines that wait for a decision, or for an answer to be looked at."""
        return sum(not line.settled for line in self.lines)

    @property
    def back_count(self) -> int:
        """Lines that go back: sent back, or with an open comment."""
        back = told("decision.sent_back", DECISION_WORDS["sent_back"])
        return sum(line.decided_text.startswith(back) or line.asked == "open" for line in self.lines)

    def step(self, verb: str) -> StepLine | None:
        """A step out of the present state."""
        return next((one for one in self.steps if one.verb == verb), None)


def read(desk: Desk, job_id: str | None, view_id: str = "to_decide") -> ReviewState:
    """The state of the review now, with the lines of one of its views."""
    queue = desk.waiting()
    if job_id is None:
        return ReviewState(queue=queue)
    view = desk.view(job_id)
    if not view.revisions or not view.revisions[-1].signed:
        return ReviewState(queue=queue)
    job, every, changed = view.job, desk.lines(job_id), desk.look(job_id)
    comments: dict[str, list[Remark]] = {}
    for remark in job.remarks:
        if remark.finding_key:
            comments.setdefault(line_of_comment(remark, every), []).append(remark)
    words = Wording.of(job, comments, changed)
    lines = every_line(words, every)
    wanted, differing = to_decide(lines, desk.exceptions(job_id)), changed_lines(words, lines)
    return ReviewState(
        queue=queue,
        view=view,
        lines=wanted,
        shown={"to_decide": wanted, "changed": differing}.get(view_id, lines),
        every_count=len(every),
        changed=changed,
        changed_count=len(differing),
        comments=comments,
        steps=desk.steps(job_id),
        counts=Counter(one.verdict for one in desk.findings_to_decide(job_id)),
    )


def alike(lines: tuple[DecideLine, ...], line: DecideLine) -> list[str]:
    """The keys of undecided lines that the same rule made of the same quantity, this one first."""
    kind = _kind(line.key)
    return [
        line.key,
        *(
            one.key
            for one in lines
            if one.key != line.key and not one.settled and one.allowed and kind and _kind(one.key) == kind
        ),
    ]


def _kind(key: str) -> tuple[str, str] | None:
    parts = key.split("/")
    return (parts[1], parts[-1]) if len(parts) == 5 else None
