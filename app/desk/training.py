"""Training: what is practised becomes no record, and nothing of it goes where records are kept."""

from __future__ import annotations

import dataclasses
import uuid

from app.desk.view import Refusal
from app.settings import Settings
from ctcore.job import Job

WORDS = "training: not a record"
# A step that makes a record of a job, or takes one further; keying, undoing and making void are practised.
RECORD_STEPS = frozenset(("hand_in", "freeze", "take_back", "send_back", "approve", "issue", "supersede"))
# Made once, for the numbers of copies alone: one job becomes one copy, however often it is opened.
_COPIES = uuid.UUID("0c3f2f0e-5b0e-4d53-9a53-6f7a2f2f7c11")
_TRAINED = "This job was made in training and is not a record. Nothing was taken in."


def refuse_step(words: str) -> Refusal:
    """What is said to a step that would make a record of something that was practised."""
    return Refusal(
        f"What you keyed is saved in training. This is {WORDS}: “{words}” is for real jobs. "
        "Leave training by the menu to go on with one."
    )


def demand_real(settings: Settings, why_text: str) -> None:
    """Refuse what would pass between training and where records are kept; `why_text` says what does not."""
    if settings.training:
        raise Refusal(
            f"Everything is kept in training. This is {WORDS}: {why_text}. Leave training by the menu first."
        )


def admitted(job: Job, settings: Settings) -> Job:
    """A job as it may come in here: into training only as a copy, out of training not at all."""
    if settings.training:
        return job if job.header.training else as_copy(job)
    if job.header.training:
        raise Refusal(_TRAINED)
    return job


def as_copy(job: Job) -> Job:
    """A job to practise on: another number, marked, open for keying, without papers and attached files."""
    header = dataclasses.replace(
        job.header, number_text=f"{job.header.number_text} training".strip(), training=True
    )
    return dataclasses.replace(
        job,
        job_id=str(uuid.uuid5(_COPIES, job.job_id)),
        header=header,
        state="being_tested" if job.readings else "planned",
        attached=(),
    )
