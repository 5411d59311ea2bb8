"""The states of a job and the steps between them: one table for verbs, window and sheet.

A step that is not permitted says why, one part of a sentence per reason; a step that the present state does
not know names the state. Nothing here writes: the verbs ask, and refuse with the first reason.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from app.desk.exceptions import ExceptionLine
from app.desk.readiness import why_not_closed, why_not_complete, why_not_settled
from app.desk.training import RECORD_STEPS, WORDS
from ctcore.findings import Finding
from ctcore.job import Job, JobState
from ctcore.takes import Take

Role = Literal["technician", "supervisor"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What a step looks at: the job, what was judged, who tested the last revision and who sits here."""

    job: Job
    takes: Mapping[tuple[str, str], tuple[Take, ...]] = field(default_factory=dict)
    findings: Sequence[Finding] = ()
    exceptions: Sequence[ExceptionLine] = ()
    me_id: str = ""
    tester_id: str | None = None
    tester_text: str = ""
    signed: bool = False
    away_text: str = ""
    training: bool = False


WhyNot = Callable[[Case], tuple[str, ...]]


def _nothing(_case: Case) -> tuple[str, ...]:
    return ()


def _no_readings(case: Case) -> tuple[str, ...]:
    return () if case.job.readings else ("there are no readings yet",)


def _incomplete(case: Case) -> tuple[str, ...]:
    return _no_readings(case) or tuple(why_not_complete(case.job, case.takes, case.findings))


def _signed_and_waiting(case: Case) -> tuple[str, ...]:
    if case.signed and case.job.state == "handed_in":
        return ("it was handed in signed; who tested it takes it back, or who decides sends it back",)
    return ()


def _somebody_else_tested(case: Case) -> tuple[str, ...]:
    if case.tester_id == case.me_id:
        return ()
    return (f"only {case.tester_text}, who tested it, can take it back",)


def _nothing_sent_back(case: Case) -> tuple[str, ...]:
    asked = any(remark.state == "open" for remark in case.job.remarks)
    if asked or any(line.decision == "sent_back" for line in case.exceptions):
        return _unsigned(case)
    return (*_unsigned(case), "no line is decided to be sent back and no comment is open; say which, and why")


def _unsettled(case: Case) -> tuple[str, ...]:
    return (*_unsigned(case), *why_not_settled(case.exceptions), *why_not_closed(case.job))


def _unsigned(case: Case) -> tuple[str, ...]:
    return () if case.signed else ("the revision was frozen without a signature; hand it in signed",)


def _one_person(case: Case) -> tuple[str, ...]:
    """Tested by and approved by are two people."""
    if case.tester_id and case.tester_id == case.me_id:
        return (f"{case.tester_text} tested this job, and somebody else has to decide about it",)
    return ()


@dataclass(frozen=True, slots=True)
class Step:
    """One permitted step: the verb of the desk that takes it, where it leads, whose it is, what holds it."""

    verb: str
    to: JobState
    who: Role
    words: str
    why_not: WhyNot = _nothing


@dataclass(frozen=True, slots=True)
class StateRow:
    """One state: its name, its word on the screen, whether readings may change, and the steps out of it."""

    state: JobState
    words: str
    locked: bool
    steps: tuple[Step, ...] = ()


_KEY: Final = Step("key", "being_tested", "technician", "Keying")
_HAND_IN: Final = Step("hand_in", "handed_in", "technician", "Hand in", _incomplete)
_FREEZE: Final = Step("freeze", "handed_in", "technician", "Freezing", _no_readings)
_REVISE: Final = Step("revise", "being_tested", "technician", "A new revision", _signed_and_waiting)
_TAKE_BACK: Final = Step("take_back", "being_tested", "technician", "Taking back", _somebody_else_tested)
_SEND_BACK: Final = Step("send_back", "sent_back", "supervisor", "Send back", _nothing_sent_back)
_APPROVE: Final = Step("approve", "approved", "supervisor", "Approve", _unsettled)
_ISSUE: Final = Step("issue", "issued", "supervisor", "Issue")
_SUPERSEDE: Final = Step("supersede", "superseded", "supervisor", "Superseding")
_VOID: Final = Step("void", "void", "technician", "Making void")
_VOID_AFTER: Final = Step("void", "void", "supervisor", "Making void")

STATES: Final[tuple[StateRow, ...]] = (
    StateRow("planned", "planned", False, (_KEY, _HAND_IN, _FREEZE, _VOID)),
    StateRow("being_tested", "being tested", False, (_KEY, _HAND_IN, _FREEZE, _VOID)),
    StateRow("handed_in", "handed in", True, (_SEND_BACK, _APPROVE, _TAKE_BACK, _REVISE, _VOID_AFTER)),
    StateRow("sent_back", "sent back", False, (_KEY, _HAND_IN, _FREEZE, _VOID_AFTER)),
    StateRow("approved", "approved", True, (_ISSUE, _REVISE, _VOID_AFTER)),
    StateRow("issued", "issued", True, (_REVISE, _SUPERSEDE, _VOID_AFTER)),
    StateRow("superseded", "superseded", True),
    StateRow("void", "void", True),
)

_BY_STATE: Final = {row.state: row for row in STATES}


def row_of(state: JobState) -> StateRow:
    """The row of a state.

    >>> row_of("handed_in").words
    'handed in'
    """
    return _BY_STATE[state]


def step_of(state: JobState, verb: str) -> Step | None:
    """The step that a verb takes out of a state, or None where it takes none."""
    return next((step for step in row_of(state).steps if step.verb == verb), None)


def why_not(case: Case, verb: str) -> tuple[str, ...]:
    """Every reason why a verb is not permitted now; none where it is. Each is part of a sentence."""
    if case.training and verb in RECORD_STEPS:
        return (f"this is {WORDS}",)
    step = step_of(case.job.state, verb)
    if step is None:
        return (f"the job is {row_of(case.job.state).words}",)
    return (*(_one_person(case) if step.who == "supervisor" else ()), *step.why_not(case))


def sentence(verb_words: str, reasons: Sequence[str]) -> str:
    """The reasons as one sentence for the user.

    >>> sentence("Approve", ["3 exceptions wait for a decision"])
    'Approve is not possible yet: 3 exceptions wait for a decision.'
    """
    more = f" (and {len(reasons) - 1} more)" if len(reasons) > 1 else ""
    return f"{verb_words} is not possible yet: {reasons[0]}{more}."


def words_of_verb(verb: str) -> str:
    """The words of a verb as its button or its sentence names it."""
    return next(step.words for row in STATES for step in row.steps if step.verb == verb)
