"""Taking signed files in: a job to decide, what was sent back, what was issued. Nothing unproved is taken."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app import progress
from app.desk import journey
from app.desk.along import demand_sheet_of
from app.desk.approval_texts import is_bound
from app.desk.chains import EVENTS_TYPE, PACK_TYPE, SHEET_TYPE, approved_name, tested_name
from app.desk.commenting import comment_events, comments_bound, merged, with_comments
from app.desk.core import OpenJob
from app.desk.deciding import decisions_of, with_decisions
from app.desk.event_order import in_order
from app.desk.folder import FolderVerbs
from app.desk.keys import refusals
from app.desk.states import row_of
from app.desk.training import admitted, demand_real
from app.desk.view import Change, Refusal
from app.jobstore import changes
from app.record.act import Act, ChainHead, Event
from app.record.canonical import digest
from app.record.revision import Record, from_bytes
from ctcore.job import Deviation, Job, JobState, Person

if TYPE_CHECKING:
    from app.record.papers import Papers
    from app.record.signed_job import SignedJob


@dataclass(frozen=True, slots=True, kw_only=True)
class _Coming:
    """A signed record that came in a file, proved, with the events that came along."""

    file_text: str
    record: Record
    data: bytes
    tested: bytes
    events: tuple[Event, ...]
    events_data: bytes | None

    @property
    def revision(self) -> int:
        """Which revision it is."""
        return self.record.revision


class TravelVerbs(FolderVerbs):
    """What comes in from another computer."""

    def take_in(self, path: Path) -> Change:
        """Take in whatever a file holds: a job, a sheet, a draft, one handed in, an answer, what was issued.

        Signatures are checked first; what is altered, or signed by somebody unknown here, changes nothing.
        """
        from app.exchange import signedfile
        from app.record import pack, signed_job
        from app.record.sheet_reading import is_signed

        data = signedfile.load(path)
        kind = signedfile.kind_of(data)
        if kind == "job file" or (kind == "sheet" and not is_signed(data)):
            return self.import_job(path)
        if kind == "draft":
            return self.take_draft(path.name, data)
        if self.store.read_only_reason:
            raise Refusal(self.store.read_only_reason)
        if kind != "sheet":
            demand_real(self.settings, "nothing signed is taken in here; a job file is, as a copy")
        self._demand_genuine(data)
        progress.write_whole()
        if kind == "sheet":
            return self.import_job(path)
        with refusals():
            if kind == "pack":
                return self._take_issued(path.name, pack.read_pack(data), data)
            job = signed_job.from_bytes(data)
            coming = _coming(path.name, job.record, job.tested, job.events)
        if job.sent_back is None:
            return self._take_handed_in(coming, job)
        return self._take_sent_back(coming, job)

    # At the supervisor's computer

    def _take_handed_in(self, coming: _Coming, job: SignedJob) -> Change:
        job_id = coming.record.job.job_id
        if coming.record.declaration.person_id == self.settings.me()[0]:
            raise Refusal(
                "You tested this job yourself. The file is for who decides about it; nothing was taken in."
            )
        if job.sheet is not None:
            demand_sheet_of(job.sheet, coming.data, coming.tested)
        handed = dataclasses.replace(admitted(coming.record.job, self.settings), state="handed_in")
        if job_id not in {line.job_id for line in self.store.jobs()}:
            act = self._act(journey.TAKE_IN, handed, *_said_of(coming))
            self.store.create(handed, act, record=(coming.revision, coming.data))
        elif not self._is_here(job_id, coming):
            self._take_next_revision(coming, handed)
        if job.sheet is not None:
            self._attach(job_id, tested_name(coming.revision), job.sheet, SHEET_TYPE)
        self._keep_events(job_id, coming)
        self._open.pop(job_id, None)
        its = self._of(job_id)
        self.settle(job_id)
        note = f"Revision {coming.revision}, tested by {coming.record.declaration.name_text}, was taken in."
        note += self._keep_carried(coming.record.job, job.attached)
        return self._changed(its, frozenset(), outline_changed=True, note_text=note)

    def _is_here(self, job_id: str, coming: _Coming) -> bool:
        """Whether that revision is here with the same bytes; Refusal where it is here with others."""
        here = {one.revision: one.digest for one in self.store.revisions(job_id)}
        known = here.get(coming.revision)
        if known is not None and known != digest(coming.data):
            raise Refusal(
                f"Revision {coming.revision} of this job is here already and says something else. "
                "Nothing was taken in."
            )
        if known is None and here and coming.revision != max(here) + 1:
            raise Refusal(
                f"This file holds revision {coming.revision}; revision {max(here)} is here, so "
                f"{max(here) + 1} would be the next. Nothing was taken in."
            )
        return known is not None

    def _take_next_revision(self, coming: _Coming, handed: Job) -> None:
        """Put what changed since the last revision beside what is here, in one transaction."""
        its = self._of(handed.job_id)
        if its.job.state not in ("sent_back", "handed_in"):
            raise Refusal(
                f"The job is {row_of(its.job.state).words} here; a new revision is not taken in over it."
            )
        known = {entry.finding_key for entry in handed.deviations}
        own = [entry for entry in its.job.deviations if entry.finding_key and entry.finding_key not in known]
        together = dataclasses.replace(handed, remarks=merged(its.job.remarks, handed.remarks))
        self._append_job(its, with_decisions(together, own), *_said_of(coming), record=coming)

    # At the technician's computer

    def _take_sent_back(self, coming: _Coming, job: SignedJob) -> Change:
        from app.record.signing import reason_sent_back

        its = self._demand_mine(coming)
        assert job.sent_back is not None
        assert job.sent_back_signature is not None
        with refusals():
            told, signature = reason_sent_back(coming.data, job.sent_back, job.sent_back_signature)
        by = signature.certificate
        if by.person_id == coming.record.declaration.person_id:
            raise Refusal("Who tested and who answered are one person. Nothing was taken in.")
        made, comments = _said_by(coming.events)
        if not is_bound(told, made):
            raise Refusal(
                "The decisions that came along are not those that were signed. Nothing was taken in."
            )
        if not comments_bound(told, with_comments(its.job.remarks, comments)):
            raise Refusal(
                "The comments that came along are not those that were signed. Nothing was taken in."
            )
        to = {
            "answer": journey.spelled(job.sent_back),
            "answer_signature": journey.spelled(job.sent_back_signature),
            "reason_text": told,
        }
        who = Person(person_id=by.person_id, name_text=by.name_text)
        return self._take_answer(its, coming, (made, comments, who), to, "sent_back")

    def _take_issued(self, file_text: str, papers: Papers, data: bytes) -> Change:
        from app.record import papers as issues

        assert papers.tested is not None
        assert papers.issued is not None
        coming = _coming(file_text, papers.record, papers.tested, papers.events)
        its = self._demand_mine(coming)
        issued = issues.from_bytes(papers.issued)
        made, comments = _said_by(coming.events)
        job_id = its.job.job_id
        if papers.sheet is not None:
            self._attach(job_id, approved_name(coming.revision), papers.sheet, SHEET_TYPE)
        self._attach(job_id, f"revision-{coming.revision}-issued.zip", data, PACK_TYPE)
        self._keep_carried(coming.record.job, papers.attached)
        to = {
            "pack": digest(data),
            "reason_text": issued.decision,
            "concessions_text": issued.concessions_text,
        }
        who = Person(person_id=issued.approved.person_id, name_text=issued.approved.name_text)
        return self._take_answer(its, coming, (made, comments, who), to, "issued")

    def _demand_mine(self, coming: _Coming) -> OpenJob:
        """The job that an answer is about: here, with the same record, and waiting for it."""
        job_id = coming.record.job.job_id
        if job_id not in {line.job_id for line in self.store.jobs()}:
            raise Refusal("This is an answer about a job that is not here. Nothing was taken in.")
        its = self._of(job_id)
        if not its.revisions or its.revisions[-1].digest_hex != digest(coming.data):
            raise Refusal(
                f"This is an answer about revision {coming.revision}, which is not the last one here. "
                "Nothing was taken in."
            )
        if its.job.state != "handed_in":
            raise Refusal(f"No answer is waited for: the job is {row_of(its.job.state).words}.")
        return its

    def _take_answer(
        self,
        its: OpenJob,
        coming: _Coming,
        said: tuple[Sequence[Deviation], Sequence[Act], Person],
        to: dict[str, Any],
        state: JobState,
    ) -> Change:
        """Write decisions, comments and the answer in one transaction; the foreign events are kept before."""
        made, comments, who = said
        job_id = its.job.job_id
        self._keep_events(job_id, coming)
        remarks = with_comments(its.job.remarks, comments)
        people = its.job.people
        if who.person_id not in {person.person_id for person in people}:
            people = (*people, who)
        new = dataclasses.replace(with_decisions(its.job, made), remarks=remarks, people=people, state=state)
        where, _, _ = _said_of(coming)
        act = self._act(journey.ANSWER, its.job, where, None, to)
        changed, removed = changes(its.job, new)
        self.store.append(job_id, act, parts=changed, removed_parts=removed, state=state)
        self._open.pop(job_id, None)
        fresh = self._of(job_id)
        note = f"{who.name_text} answered: {row_of(state).words}."
        return self._changed(fresh, frozenset(), outline_changed=True, note_text=note)

    # Both

    def _append_job(
        self, its: OpenJob, new: Job, where: dict[str, object], from_: object, to: object, *, record: _Coming
    ) -> None:
        known = {entry.reading_id for entry in its.job.readings}
        readings = [entry for entry in new.readings if entry.reading_id not in known]
        changed, removed = changes(its.job, new)
        act = self._act(journey.TAKE_IN, its.job, where, from_, to)
        self.store.append(
            its.job.job_id,
            act,
            readings=readings,
            parts=changed,
            removed_parts=removed,
            state="handed_in",
            record=(record.revision, record.data),
        )

    def _keep_events(self, job_id: str, coming: _Coming) -> None:
        if coming.events_data is not None:
            name = f"revision-{coming.revision}-events.json"
            self._attach(job_id, name, coming.events_data, EVENTS_TYPE)


def _coming(file_text: str, data: bytes, tested: bytes, events_data: bytes | None) -> _Coming:
    from app.record import trail

    events = tuple(trail.from_bytes(events_data)) if events_data is not None else ()
    return _Coming(
        file_text=file_text,
        record=from_bytes(data),
        data=data,
        tested=tested,
        events=events,
        events_data=events_data,
    )


def _said_of(coming: _Coming) -> tuple[dict[str, object], object, object]:
    """Where, from and to of the act that takes something in; it names the head of every chain that came.

    The head of this store's own chain is what the event itself follows.
    """
    heads: dict[str, ChainHead] = {}
    for event in coming.events:
        known = heads.get(event.device_id)
        if known is None or known.n < event.n:
            heads[event.device_id] = ChainHead(event.device_id, event.n, event.head)
    where: dict[str, object] = {
        "revision": coming.revision,
        "file": coming.file_text,
        "heads": [[head.device_id, head.n, head.head] for head in heads.values()],
    }
    declared = coming.record.declaration
    to = {
        "record": digest(coming.data),
        "signature": journey.spelled(coming.tested),
        "meaning_text": f"tested by {declared.name_text}",
    }
    return where, None, to


def _said_by(events: Sequence[Event]) -> tuple[list[Deviation], list[Act]]:
    """The decision that stands last for each line, and every act about comments, out of events that came."""
    made: dict[str, Deviation] = {}
    for event in in_order(events):
        if event.act.kind == "decision":
            made.update({entry.finding_key: entry for entry in decisions_of(event.act)})
    return list(made.values()), comment_events(events)
