"""What the store answers with, and what it says when it cannot."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from app.record.act import Event
from ctcore.findings import Finding, Verdict
from ctcore.job import JobState, Reading


class StoreProblem(Exception):
    """The store could not do what was asked; `sentence` says what is safe, what failed and what to do."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class DiskFull(StoreProblem):
    """The same, because there is no room on the disk."""


class Damaged(StoreProblem):
    """The same, because the file, or a piece of it, is not what a store is."""


class Missing(StoreProblem):
    """The same, because a store that was here before is not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobLine:
    """One line of the list of jobs."""

    job_id: str
    number_text: str
    title_text: str
    site_text: str
    state: JobState
    worst: Verdict
    core_count: int
    changed_at_utc: str


@dataclass(frozen=True, slots=True)
class Receipt:
    """What a commit stored: the event, and the readings with device and sequence filled in."""

    event: Event
    readings: tuple[Reading, ...] = ()


@dataclass(frozen=True, slots=True)
class StoredFindings:
    """The findings of one core with the digest of what they were judged from and the version of the rules.

    `verdicts` has the worst verdict of each test; the findings themselves are read when they are asked for.
    """

    verdicts: Mapping[str, Verdict]
    input_digest: str
    rules_version: str
    read: Callable[[], tuple[Finding, ...]]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings; raises BadInput where what is stored of them is no finding."""
        return self.read()


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredRevision:
    """One frozen record of a job."""

    revision: int
    digest: str
    record_bytes: bytes
    frozen_at_utc: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """A file beside the store, pinned to a core or a step; job-wide where both are empty."""

    attachment_id: str
    digest: str
    name_text: str
    media_type: str
    size_bytes_count: int
    core_id: str = ""
    procedure_id: str = ""
