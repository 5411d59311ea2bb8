"""What the window shows: one frozen picture of a job, and what the last verb changed in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ctcore.findings import Finding
from ctcore.job import Job
from ctcore.procedure import Derived
from ctcore.takes import Take

TakeKey = tuple[str, str, int]


class Refusal(Exception):
    """A verb that is not permitted now; the sentence says why and what is kept."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class NotOpened(Refusal):
    """A passphrase did not open a key. Which part was wrong is not said to whoever tries."""


@dataclass(frozen=True, slots=True)
class Address:
    """One field of the worksheet: a quantity in a row of a take of a test on a core."""

    core_id: str
    procedure_id: str
    take: int
    row: str
    quantity_id: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionLine:
    """One frozen revision of the job; `signed` tells a signature from a mere name under it."""

    revision: int
    digest_hex: str
    frozen_at_utc: str
    name_text: str
    reason_text: str
    signed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A job with everything derived from it. `derived` is by (core_id, procedure_id, take).

    `stale_core_ids` are cores whose verdicts are those of an earlier judgement until they are judged again.
    `away_text` says with whom the job is, where it is not here: "with M. Oskarrin since 24 Nov 2031 17:05".
    """

    job: Job
    takes: Mapping[tuple[str, str], tuple[Take, ...]]
    findings: Mapping[str, tuple[Finding, ...]]
    derived: Mapping[TakeKey, tuple[Derived, ...]]
    read_only_reason: str | None = None
    revisions: tuple[RevisionLine, ...] = ()
    can_undo_text: str | None = None
    can_redo_text: str | None = None
    away_text: str = ""
    stale_core_ids: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What a verb changed: the new view, the cores touched, and a sentence if there is one to say."""

    view: View
    core_ids: frozenset[str] = frozenset()
    outline_changed: bool = False
    note_text: str = ""
    saved_at_text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """A step out of the present state: the verb, its words, whose it is, and why it is not possible yet."""

    verb: str
    words: str
    who: str
    why_not: tuple[str, ...]
