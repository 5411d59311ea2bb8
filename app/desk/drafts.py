"""Drafts between laptops: handed out with all events, taken back and merged; nothing is lost on the way."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from app.desk.along import Along, AlongCore
from app.desk.chains import EVENTS_TYPE
from app.desk.clock_watch import apart_words
from app.desk.keys import refusals
from app.desk.merging import Form, Unlike, form_of, open_questions, united
from app.desk.questions import QuestionVerbs, disputed_cells
from app.desk.states import row_of
from app.desk.training import demand_real
from app.desk.two_stores import counted
from app.desk.view import Change, Refusal
from app.jobstore import changes
from app.record.act import Event
from app.record.draft import Draft
from ctcore.errors import BadInput
from ctcore.job import Job
from ctcore.takes import takes_of

HAND_OUT, MERGE, TAKE_IN = "hand_out", "merge", "take_in"
NO_UNDO: Final = "A merge cannot be undone; what it asks is answered field by field."


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftLook:
    """What taking a draft in would do; `here` is False where the job is new to this store.

    `trouble_text` says why it would be refused.
    """

    number_text: str
    title_text: str
    from_text: str
    here: bool
    new_here_count: int = 0
    new_there_count: int = 0
    questions_count: int = 0
    nothing_new: bool = False
    trouble_text: str = ""


@dataclass(frozen=True, slots=True)
class Coming:
    """A draft that came in a file, with the form of the job in it."""

    file_text: str
    draft: Draft
    form: Form


class DraftVerbs(QuestionVerbs, AlongCore):
    """Handing a job out to another laptop, and taking in what comes back."""

    def hand_out(self, job_id: str, path: Path) -> Path:
        """Write the job with its events, for another laptop to work on at the same time."""
        from app.exchange import jobfile, signedfile
        from app.record import draft, trail

        its = self._of(job_id)
        self._demand_open(its)
        demand_real(self.settings, "nothing is handed out from here")
        files, _ = self._carried(its.job)
        data = draft.to_bytes(
            Draft(
                from_text=self.settings.me()[1],
                job=jobfile.to_bytes(its.job),
                events=trail.to_bytes(self._events_of(job_id)),
                attached=files,
                revisions=self._revisions_along(job_id),
            )
        )
        signedfile.save(path, data)
        if not self.store.read_only:
            self.store.append(job_id, self._act(HAND_OUT, its.job, {"job_id": job_id}, None, path.name))
        return path

    def look_at_draft(self, path: Path) -> DraftLook | None:
        """What taking a file in would change; None where it is no draft. Nothing is changed."""
        from app.exchange import signedfile

        data = signedfile.load(path)
        if signedfile.kind_of(data) != "draft":
            return None
        coming = read_draft(path.name, data)
        job = coming.form.job
        look = DraftLook(
            number_text=job.header.number_text,
            title_text=job.header.title_text,
            from_text=coming.draft.from_text,
            here=self._has(job.job_id),
            new_here_count=len(job.readings),
        )
        try:
            along = self._along(coming)
            return self._compared(coming, look, along) if look.here else look
        except Refusal as problem:
            return dataclasses.replace(look, new_here_count=0, trouble_text=problem.sentence)

    def take_draft(self, file_text: str, data: bytes) -> Change:
        """Take a draft in: a job that is new here as it is, one that is here by a merge."""
        if self.store.read_only_reason:
            raise Refusal(self.store.read_only_reason)
        demand_real(self.settings, "no draft is taken in here")
        coming = read_draft(file_text, data)
        job = coming.form.job
        if job.header.training:
            raise Refusal("This job was made in training and is not a record. Nothing was taken in.")
        along = self._along(coming)
        if self._has(job.job_id):
            return self._merge(coming, along)
        act = self._act(TAKE_IN, job, self._where(coming), None, job.header.number_text)
        self.store.create(job, act)
        self._attach(job.job_id, _events_name(coming.form.events), coming.draft.events, EVENTS_TYPE)
        note = self._keep_along(job, along, file_text) + self._keep_carried(job, coming.draft.attached)
        note += self._apart(coming)
        self.open_job(job.job_id)
        self.settle(job.job_id)
        return self._changed(self._of(job.job_id), frozenset(), outline_changed=True, note_text=note.strip())

    # Merging

    def _form_here(self, job_id: str) -> Form:
        its = self._of(job_id)
        return form_of(its.job, self._events_of(job_id))

    def _united(self, coming: Coming) -> Form:
        its = self._of(coming.form.job.job_id)
        if locked := self._why_locked(its):
            raise Refusal(f"{locked} Nothing was merged.")
        if row_of(coming.form.job.state).locked:
            words = row_of(coming.form.job.state).words
            raise Refusal(f"The job in the file is {words}: only what is open is merged. Nothing was merged.")
        try:
            with as_written():
                return united(self._form_here(its.job.job_id), coming.form)
        except Unlike as problem:
            raise Refusal(f"{problem.sentence} Nothing was merged.") from problem

    def _apart(self, coming: Coming) -> str:
        """What is to be said of the clocks, behind another sentence."""
        words = apart_words(coming.form.events, self._clock())
        return f" {words}" if words else ""

    def _along(self, coming: Coming) -> list[Along]:
        with as_written():
            return self._missing_here(coming.form.job, coming.draft.revisions, coming.form.events)

    def _compared(self, coming: Coming, look: DraftLook, along: list[Along]) -> DraftLook:
        here, there = self._of(coming.form.job.job_id).job, coming.form.job
        merged = self._united(coming)
        return dataclasses.replace(
            look,
            new_here_count=len(merged.job.readings) - len(here.readings),
            new_there_count=len(merged.job.readings) - len(there.readings),
            questions_count=questions_count(merged.job) - questions_count(here),
            nothing_new=not along and self._says_nothing_new(merged),
        )

    def _says_nothing_new(self, merged: Form) -> bool:
        here = self._form_here(merged.job.job_id)
        return len(merged.events) == len(here.events) and len(merged.job.readings) == len(here.job.readings)

    def _merge(self, coming: Coming, along: list[Along]) -> Change:
        job_id = coming.form.job.job_id
        merged = self._united(coming)
        its = self._of(job_id)
        came = self._keep_along(its.job, along, coming.file_text)
        if self._says_nothing_new(merged):
            if came:
                self._open.pop(job_id, None)
                return self._changed(
                    self._of(job_id), frozenset(), outline_changed=True, note_text=came.strip()
                )
            note = "Everything in this file is here already. Nothing was changed."
            return self._changed(its, frozenset(), outline_changed=True, note_text=note)
        known = {entry.reading_id for entry in its.job.readings}
        readings = [entry for entry in merged.job.readings if entry.reading_id not in known]
        asked = questions_count(merged.job) - questions_count(its.job)
        words = f"{counted(len(readings), 'reading is', 'readings are')} new here."
        if asked > 0:
            words += f" {counted(asked, 'field is', 'fields are')} said differently: say which holds."
        new = dataclasses.replace(merged.job, readings=its.job.readings)
        changed, removed = changes(its.job, new)
        self.store.add_attachment(
            job_id, coming.draft.events, name_text=_events_name(coming.form.events),
            media_type=EVENTS_TYPE, core_id="", procedure_id="",
            act=self._act(MERGE, its.job, self._where(coming), None, {"said_text": words}),
            parts=changed, removed_parts=removed, readings=readings, state=merged.job.state,
        )  # fmt: skip
        note = words + came + self._keep_carried(merged.job, coming.draft.attached) + self._apart(coming)
        self._open.pop(job_id, None)
        fresh = self._of(job_id)
        self.settle(job_id)
        return self._changed(fresh, frozenset(), outline_changed=True, note_text=note)

    def _where(self, coming: Coming) -> dict[str, object]:
        """Of the event that takes a draft in: its file, and the head of every chain that came with it."""
        heads: dict[str, Event] = {}
        for event in coming.form.events:
            known = heads.setdefault(event.device_id, event)
            heads[event.device_id] = event if event.n > known.n else known
        named = [
            [one.device_id, one.n, one.head]
            for name, one in sorted(heads.items())
            if name != self.store.device_id
        ]
        return {"job_id": coming.form.job.job_id, "file": coming.file_text, "heads": named}


def questions_count(job: Job) -> int:
    """How many fields wait for an answer: of plates and the like, and of readings."""
    return len(open_questions(job)) + sum(1 for _ in disputed_cells(takes_of(job.readings)))


def _events_name(events: tuple[Event, ...]) -> str:
    last = max(events, key=lambda one: (one.act.at_utc, one.device_id, one.n))
    return f"draft-{last.head[:16]}-events.json"


def read_draft(file_text: str, data: bytes) -> Coming:
    """The draft of a file with its job and its events, which fit each other."""
    from app.exchange import jobfile
    from app.record import draft, trail

    with refusals():
        found = draft.from_bytes(data)
        events = tuple(trail.from_bytes(found.events))
        trail.demand_fitting(events, ())
    if not events:
        raise Refusal(
            "The draft has no trail of what was done: take it in as a job file. Nothing was taken in."
        )
    job = jobfile.read(found.job, file_text)
    with as_written():
        return Coming(file_text, found, form_of(job, events))


@contextmanager
def as_written() -> Iterator[None]:
    """Refuse a trail or a question that no program of ours writes; the digests alone do not tell."""
    try:
        yield
    except (BadInput, ValueError, TypeError, KeyError, IndexError, AttributeError) as problem:
        raise Refusal(
            "What this draft says was done does not fit its job: ask for it again. Nothing was taken in."
        ) from problem
