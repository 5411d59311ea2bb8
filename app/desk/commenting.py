"""Comments on judged lines: made by who decides, answered by who tested, closed or opened again.

An answer is a retest, a correction with its reason, or a rebuttal, and names the reading that it refers to.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from app.desk.core import OpenJob, new_id
from app.desk.deciding import DecisionVerbs
from app.desk.event_order import in_order
from app.desk.exceptions import ExceptionLine
from app.desk.view import Change, Refusal
from app.record.act import Act, Event
from app.record.canonical import canonical, digest, digest_groups
from ctcore.job import Answer, CommentStep, Job, Reading, Remark
from ctcore.takes import standing

# Format: the kinds of acts about comments; `where` names the comment, its line and the reading referred to.
COMMENT, ANSWER, CLOSE, REOPEN = "comment", "answer_comment", "close_comment", "reopen_comment"
COMMENT_ACTS: Final = (COMMENT, ANSWER, CLOSE, REOPEN)
_BOUND: Final = "Comments with their answers: "
_DIGEST_LENGTH: Final = 32


class CommentVerbs(DecisionVerbs):
    """What is asked about a line, and what is said to it."""

    def comment(self, job_id: str, finding_key: str, text: str, reading_id: str = "") -> Change:
        """Pin a comment to a judged line, or to one reading of it; one by who decides wants an answer."""
        its = self._of(job_id)
        self._demand_here(its)
        line = next((one for one in self.lines(job_id) if one.key == finding_key), None)
        if line is None:
            raise Refusal("There is no such line to comment on. Nothing was changed.")
        if not text.strip():
            raise Refusal("There is nothing to remark yet. Nothing was changed.")
        if reading_id and reading_id not in {
            one.reading_id for one in readings_of(its.job, line.core_id, line.procedure_id)
        }:
            raise Refusal("That reading does not belong to the line. Nothing was changed.")
        case = self._case(its)
        where: dict[str, object] = {
            "core_id": line.core_id,
            "procedure_id": line.procedure_id,
            "finding_key": finding_key,
            "remark_id": new_id(),
            "reading_id": reading_id,
            "wants_answer": its.job.state == "handed_in" and case.me_id != case.tester_id,
        }
        return self._say(its, self._act(COMMENT, its.job, where, None, text.strip()))

    def answer_comment(
        self, job_id: str, remark_id: str, answer: Answer, text: str, reading_id: str
    ) -> Change:
        """Answer a comment by a retest, a correction or a rebuttal, with the reading that it refers to."""
        its = self._of(job_id)
        self._demand_open(its)
        found = self._comment_of(its, remark_id, ("open",), "answered")
        if found.person_id == self.settings.me()[0]:
            raise Refusal("Who made a comment does not answer it. Nothing was changed.")
        if not text.strip():
            raise Refusal("An answer says why in words. Nothing was changed.")
        can = {one.reading_id for one in self.answer_readings(job_id, remark_id, answer)}
        if not can and answer != "rebuttal":
            raise Refusal(_NO_READING[answer])
        if reading_id not in can and (can or reading_id):
            raise Refusal("Say which reading the answer refers to. Nothing was changed.")
        where = {**_where(found), "reading_id": reading_id, "answer": answer}
        return self._say(its, self._act(ANSWER, its.job, where, found.state, text.strip()))

    def answer_readings(self, job_id: str, remark_id: str, answer: Answer) -> tuple[Reading, ...]:
        """The readings that an answer can refer to, the newest first."""
        its = self._of(job_id)
        found = next((one for one in its.job.remarks if one.remark_id == remark_id), None)
        if found is None:
            return ()
        frozen = its.last_record.job.readings if its.last_record is not None else ()
        return answering(its.job, found, answer, frozen)

    def close_comment(self, job_id: str, remark_id: str, text: str = "") -> Change:
        """Close a comment: its answer is taken, or it is no longer asked."""
        its = self._of(job_id)
        self._demand_deciding(its)
        found = self._comment_of(its, remark_id, ("open", "answered"), "closed")
        return self._say(its, self._act(CLOSE, its.job, _where(found), found.state, text.strip()))

    def reopen_comment(self, job_id: str, remark_id: str, text: str) -> Change:
        """Open a comment again whose answer does not do, with what is still asked."""
        its = self._of(job_id)
        self._demand_deciding(its)
        found = self._comment_of(its, remark_id, ("answered", "closed"), "opened again")
        if not text.strip():
            raise Refusal("Say what is still asked. Nothing was changed.")
        return self._say(its, self._act(REOPEN, its.job, _where(found), found.state, text.strip()))

    def _say(self, its: OpenJob, act: Act) -> Change:
        new = dataclasses.replace(its.job, remarks=with_comments(its.job.remarks, [act]))
        return self._write_outline(its.job.job_id, self._me_as_part(new)[0], act, "comment", undoable=False)

    def _comment_of(self, its: OpenJob, remark_id: str, states: Sequence[str], what: str) -> Remark:
        found = next((one for one in its.job.remarks if one.remark_id == remark_id), None)
        if found is None or not found.wants_answer:
            raise Refusal("There is no such comment. Nothing was changed.")
        if found.state not in states:
            raise Refusal(f"This comment is {found.state}; it cannot be {what}. Nothing was changed.")
        return found

    def _demand_deciding(self, its: OpenJob) -> None:
        """Refuse where the job does not wait for who sits here."""
        self._demand_here(its)
        case = self._case(its)
        if its.job.state != "handed_in" or case.me_id == case.tester_id:
            raise Refusal(
                "Comments are closed by who decides, while the job is handed in. Nothing was changed."
            )


_NO_READING: Final[Mapping[str, str]] = {
    "retest": "There is no retest of this test yet: take it again first, then answer. Nothing was changed.",
    "correction": "Nothing of this test was corrected yet: correct the reading first, then answer. "
    "Nothing was changed.",
}


def readings_of(job: Job, core_id: str, procedure_id: str) -> tuple[Reading, ...]:
    """The readings that stand in a test, in the order in which they were taken."""
    return tuple(
        one
        for one in standing(job.readings)
        if (one.core_id, one.procedure_id) == (core_id, procedure_id) and not one.withdrawn
    )


def answering(job: Job, comment: Remark, answer: Answer, frozen: Sequence[Reading]) -> tuple[Reading, ...]:
    """The readings that an answer can refer to, the newest first.

    A retest is a later take than any of the revision that was commented upon, a correction supersedes a
    reading of it; a rebuttal stands by a reading that is there.
    """
    known = {one.reading_id for one in frozen}
    its = readings_of(job, comment.core_id, comment.procedure_id)
    if answer == "rebuttal":
        pinned = [one for one in its if one.reading_id == comment.reading_id]
        return (*pinned, *(one for one in reversed(its) if one not in pinned))
    key = (comment.core_id, comment.procedure_id)
    last = max((one.take for one in frozen if (one.core_id, one.procedure_id) == key), default=0)
    new = [one for one in reversed(its) if one.reading_id not in known]
    if answer == "retest":
        return tuple(one for one in new if one.take > last)
    return tuple(one for one in new if one.take <= last and one.supersedes_id)


def comment_of(act: Act) -> Remark:
    """The comment that an act made."""
    return Remark(
        remark_id=act.where["remark_id"],
        core_id=act.where["core_id"],
        procedure_id=act.where["procedure_id"],
        text=act.to,
        person_id=act.person_id,
        at_utc=act.at_utc,
        utc_offset_minutes=act.utc_offset_minutes,
        finding_key=act.where["finding_key"],
        reading_id=act.where.get("reading_id", ""),
        wants_answer=act.where.get("wants_answer", False),
    )


def with_comments(remarks: Sequence[Remark], acts: Iterable[Act]) -> tuple[Remark, ...]:
    """The remarks after acts about comments; what is there already is not doubled."""
    by_id = {one.remark_id: one for one in remarks}
    for act in acts:
        remark_id = act.where["remark_id"]
        if act.kind == COMMENT:
            by_id.setdefault(remark_id, comment_of(act))
        elif remark_id in by_id:
            by_id[remark_id] = _with_steps(by_id[remark_id], [_step_of(act)])
    return tuple(by_id.values())


def merged(mine: Sequence[Remark], theirs: Sequence[Remark]) -> tuple[Remark, ...]:
    """Their remarks with what only mine know: comments, and what was said to them."""
    by_id = {one.remark_id: one for one in theirs}
    for own in mine:
        known = by_id.get(own.remark_id)
        by_id[own.remark_id] = own if known is None else _with_steps(known, own.steps)
    return tuple(by_id.values())


def comment_events(events: Iterable[Event]) -> list[Act]:
    """The acts about comments among events, in the order of the clock."""
    ordered = in_order(events)
    return [event.act for event in ordered if event.act.kind in COMMENT_ACTS]


def bound_line(remarks: Iterable[Remark]) -> list[str]:
    """The line that binds comments and answers to a signed text; none where nobody asked anything."""
    spelled = sorted(
        [one.remark_id, one.finding_key, one.reading_id, one.text, one.person_id, one.at_utc,
         [[step.kind, step.text, step.person_id, step.at_utc, step.reading_id] for step in one.steps]]
        for one in remarks
        if one.wants_answer
    )  # fmt: skip
    if not spelled:
        return []
    return [f"{_BOUND}{digest_groups(digest(canonical(spelled))[:_DIGEST_LENGTH])}"]


def comments_bound(text: str, remarks: Iterable[Remark]) -> bool:
    """Whether the comments that came along are those that the signed text speaks of."""
    return [line for line in text.split("\n") if line.startswith(_BOUND)] == bound_line(remarks)


def line_of_comment(remark: Remark, lines: Sequence[ExceptionLine]) -> str:
    """The key of the line under which a comment is shown.

    Where its own line is gone that of the latest take by the same rule, else any of the same test.
    """
    own = remark.finding_key.split("/")
    best, rank = "", 0
    for line in lines:
        if line.key == remark.finding_key:
            return line.key
        its = line.key.split("/")
        same = len(own) == len(its) == 5 and [*own[:2], *own[3:]] == [*its[:2], *its[3:]]
        near = (line.core_id, line.procedure_id) == (remark.core_id, remark.procedure_id)
        here = 2 if same else 1 if near else 0
        if here > rank or (here == rank == 2):
            best, rank = line.key, here
    return best


def _where(remark: Remark) -> dict[str, object]:
    return {
        "core_id": remark.core_id,
        "procedure_id": remark.procedure_id,
        "finding_key": remark.finding_key,
        "remark_id": remark.remark_id,
    }


def _step_of(act: Act) -> CommentStep:
    kind: Any = {CLOSE: "closed", REOPEN: "reopened"}.get(act.kind) or act.where["answer"]
    return CommentStep(
        kind=kind,
        text=act.to,
        person_id=act.person_id,
        at_utc=act.at_utc,
        utc_offset_minutes=act.utc_offset_minutes,
        reading_id=act.where.get("reading_id", ""),
    )


def _with_steps(remark: Remark, steps: Iterable[CommentStep]) -> Remark:
    new = [step for step in steps if step not in remark.steps]
    return dataclasses.replace(remark, steps=(*remark.steps, *new)) if new else remark
