"""Verbs on what leaves the desk: freeze, revise, sheet, job files."""

from __future__ import annotations

import contextlib
import dataclasses
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from app import progress
from app.desk.carrying import CarryCore
from app.desk.chains import papers_of
from app.desk.core import OpenJob
from app.desk.journey import ANSWER, SEND_BACK, TAKE_BACK
from app.desk.states import row_of
from app.desk.training import admitted
from app.desk.view import Change, Refusal
from app.exchange.problem import JobFileProblem
from app.jobstore import StoreProblem
from app.record.act import Act
from app.record.canonical import digest
from app.record.revision import Declaration, DerivedOf, Record, from_bytes, to_bytes
from ctcore import __version__
from ctcore.findings import Finding
from ctcore.job import Job, places
from ctcore.judge import RULES_VERSION, judge_core
from ctcore.takes import takes_of

if TYPE_CHECKING:
    from app.record.sheet_files import Attached
    from app.report.sheet import SheetInput

DECLARATION_TEXT = "I took these readings as recorded."
# The acts that begin a new revision and say why.
_REASONS = ("revise", TAKE_BACK, ANSWER, SEND_BACK)


class PaperVerbs(CarryCore):
    """What turns a job into a sheet or a file, and a file into a job."""

    def freeze(self, job_id: str, declaration_text: str = DECLARATION_TEXT) -> Change:
        """Freeze the revision as tested, under the name of who sits here. No signature is made."""
        its = self._of(job_id)
        self._demand_open(its)
        self._demand_step(its, "freeze")
        if not self.settings.get("person_name_text"):
            raise Refusal("Say first who you are; the sheet names the person who tested.")
        progress.write_whole()
        record, data = self._frozen(job_id, declaration_text)
        revision = record.revision
        act = self._act("freeze", its.job, {"job_id": job_id, "revision": revision}, None, digest(data))
        return self._freeze_as(its, data, act, revision, note_text=f"Revision {revision} is frozen.")

    def _frozen(self, job_id: str, declaration_text: str) -> tuple[Record, bytes]:
        """The next revision as a record and its bytes; who declares it stands among the people of the job."""
        its = self._of(job_id)
        job, parts = self._me_as_part(its.job)
        if parts:
            act = self._act("person", its.job, {}, None, self.settings.me()[1])
            self.store.append(job_id, act, parts=parts)
            its.job = job
        revision = next_revision(its)
        record = self._record(job_id, revision, declaration_text)
        return record, to_bytes(record)

    def _freeze_as(self, its: OpenJob, data: bytes, act: Act, revision: int, *, note_text: str) -> Change:
        """Keep the bytes of a revision with the act that froze them; from here on the job is handed in."""
        job_id = its.job.job_id
        self.settle(job_id)
        self.store.freeze(job_id, data, act, revision=revision, state="handed_in")
        its.job = dataclasses.replace(its.job, state="handed_in")
        self._read_revisions(its)
        its.undo.clear()
        its.redo.clear()
        return self._changed(its, frozenset(), outline_changed=True, note_text=note_text)

    def revise(self, job_id: str, reason_text: str) -> Change:
        """Open a frozen job for a new revision, with a reason; the frozen one stays as it is."""
        its = self._of(job_id)
        if self.store.read_only_reason:
            raise Refusal(self.store.read_only_reason)
        if not row_of(its.job.state).locked:
            raise Refusal("This revision is not frozen yet; go on keying.")
        self._demand_step(its, "revise")
        if not reason_text.strip():
            raise Refusal("A new revision has a reason. Nothing was changed.")
        act = self._act("revise", its.job, {"job_id": job_id}, its.job.state, reason_text.strip())
        self.store.append(job_id, act, state="being_tested")
        its.job = dataclasses.replace(its.job, state="being_tested")
        self._read_revisions(its)
        return self._changed(its, frozenset(), outline_changed=True)

    def sheet(
        self,
        job_id: str,
        path: Path,
        *,
        revision: int | None = None,
        paper: Literal["A4", "Letter"] | None = None,
    ) -> Path:
        """Write the sheet as PDF: of a frozen revision, or a draft of the job as it stands.

        Of a signed revision these are the very bytes that were signed, whose paper stays as it is.
        """
        return self.sheet_writer(job_id, path, revision=revision, paper=paper)()

    def sheet_writer(
        self,
        job_id: str,
        path: Path,
        *,
        revision: int | None = None,
        paper: Literal["A4", "Letter"] | None = None,
    ) -> Callable[[], Path]:
        """What writes that sheet of the job as it stands now, on any thread, without the store."""
        signed = self._signed_sheet(job_id, revision)
        if signed is not None and paper not in (None, self._of(job_id).job.header.paper):
            raise Refusal(
                f"The signed sheet is untouched. It was signed on another paper than {paper}, and a signed "
                "file cannot be set anew. Print it to scale."
            )
        make = self._input_maker(job_id, revision) if signed is None else None

        def write() -> Path:
            from app.exchange import signedfile
            from app.report import sheet  # drawing and job files are imported when they are asked for

            if make is not None:
                sheet.write(dataclasses.replace(make(), paper=paper), path)
            elif signed is not None:
                signedfile.save(path, signed)
            return path

        return write

    def _signed_sheet(self, job_id: str, revision: int | None) -> bytes | None:
        its = self._of(job_id)
        if revision is None and row_of(its.job.state).locked and its.revisions:
            revision = its.revisions[-1].revision
        if revision not in its.journey.tested:
            return None
        stored = next(one for one in self.store.revisions(job_id) if one.revision == revision)
        return papers_of(self.store, job_id, stored, its.journey).sheet

    def sheet_input(self, job_id: str, *, revision: int | None = None) -> SheetInput:
        """What the sheet prints; of a frozen job its last revision unless another is asked for."""
        return self._input_maker(job_id, revision)()

    def _input_maker(self, job_id: str, revision: int | None) -> Callable[[], SheetInput]:
        """What is printed, read from the store now; what is left to work out goes on any thread."""
        its = self._of(job_id)
        if revision is None and row_of(its.job.state).locked and its.revisions:
            revision = its.revisions[-1].revision
        if revision is None:
            draft = self._draft_input(its)
            return lambda: dataclasses.replace(draft, files=_job_files(draft.job))
        stored = next((one for one in self.store.revisions(job_id) if one.revision == revision), None)
        if stored is None:
            raise Refusal(f"There is no revision {revision} of this job.")
        record, state_words = from_bytes(stored.record_bytes), _state_of(its, revision)
        pictures = self.pictures_of(record.job)
        return lambda: dataclasses.replace(
            sheet_of_record(record, stored.record_bytes, state_words), pictures=pictures
        )

    def _draft_input(self, its: OpenJob) -> SheetInput:
        from app.report.sheet import SheetInput

        return SheetInput(
            job=its.job,
            findings=tuple(self._findings_of(its)),
            derived=dict(its.derived),
            revision=next_revision(its),
            state_words=row_of(its.job.state).words,
            digest_hex=None,
            declaration=None,
            issued_at_utc=None,
            program_version=__version__,
            rejudged=None,
            pictures=self.pictures_of(its.job),
        )

    def _with_pictures(self, sheet: SheetInput) -> SheetInput:
        return dataclasses.replace(sheet, pictures=self.pictures_of(sheet.job))

    def pictures_of(self, job: Job) -> dict[str, bytes]:
        """The attached photographs by their digest; one that is gone or changed is left out."""
        wanted = {one.digest_hex for one in job.attached if one.media_type.startswith("image/")}
        found = {}
        for attachment in self.store.attachments(job.job_id) if wanted else ():
            if attachment.digest in wanted:
                with contextlib.suppress(StoreProblem):
                    found[attachment.digest] = self.store.attachment_bytes(attachment)
        return found

    def import_job(self, path: Path) -> Change:
        """Take a job in from a job file or a sheet. One that is here already is opened as it is here."""
        from app.exchange import opening

        job = admitted(opening.load(path), self.settings)
        if (here := self.opened_here(job.job_id)) is not None:
            return here
        act = self._act(
            "take_in", job, {"job_id": job.job_id, "file": path.name}, None, job.header.number_text
        )
        progress.write_whole()
        self.store.create(job, act)
        self.open_job(job.job_id)
        self.settle(job.job_id)
        behind = self._keep_carried(job, {}).strip()
        return self._changed(self._of(job.job_id), frozenset(), outline_changed=True, note_text=behind)

    def opened_here(self, job_id: str) -> Change | None:
        """Open a job as it stands here, and say so; None where it is not here."""
        if job_id not in {line.job_id for line in self.store.jobs()}:
            return None
        self.open_job(job_id)
        note = "This job is here already; it was opened as it stands here."
        return self._changed(self._of(job_id), frozenset(), outline_changed=True, note_text=note)

    def export_job(self, job_id: str, path: Path) -> Path:
        """Write the job with all its readings as a job file."""
        from app.exchange import jobfile

        jobfile.save(self._of(job_id).job, path)
        return path

    def _record(self, job_id: str, revision: int, declaration_text: str) -> Record:
        its = self._of(job_id)
        person_id, name_text = self.settings.me()
        at_utc, offset = self._stamp()
        derived = tuple(
            DerivedOf(core_id=core_id, procedure_id=procedure_id, take=take, values=values)
            for (core_id, procedure_id, take), values in sorted(its.derived.items())
        )
        return Record(
            program_version=__version__,
            rules_version=RULES_VERSION,
            revision=revision,
            replaces_digest=its.revisions[-1].digest_hex if its.revisions else None,
            job=its.job,
            findings=tuple(self._findings_of(its)),
            derived=derived,
            declaration=Declaration(
                person_id=person_id,
                name_text=name_text,
                meaning="tested",
                text=declaration_text,
                at_utc=at_utc,
                utc_offset_minutes=offset,
            ),
            heads=self.chain_heads(job_id),
            frozen_at_utc=at_utc,
            reason_text=self._reason_of_revision(job_id),
        )

    def _reason_of_revision(self, job_id: str) -> str:
        acts = [event.act for event in self.store.events(job_id) if event.act.kind in _REASONS]
        if not acts:
            return ""
        return str(acts[-1].to["reason_text"] if isinstance(acts[-1].to, dict) else acts[-1].to)


def next_revision(its: OpenJob) -> int:
    """The number of the revision that would be frozen next."""
    return its.revisions[-1].revision + 1 if its.revisions else 1


def _job_files(job: Job) -> tuple[Attached, ...]:
    """The job file that goes into a draft; none where the job could not be read again from it."""
    from app.exchange import jobfile
    from app.record.sheet_files import job_file

    try:
        return (job_file(jobfile.to_bytes(job)),)
    except JobFileProblem:
        return ()


def sheet_of_record(record: Record, data: bytes, state_words: str) -> SheetInput:
    """The sheet of a frozen record: its findings as frozen, beside them a new judgement if it differs.

    `data` are the bytes of the record, which go into the PDF.
    """
    from app.record.sheet_files import record_file
    from app.report.sheet import SheetInput

    takes = takes_of(record.job.readings)
    derived = {(one.core_id, one.procedure_id, one.take): one.values for one in record.derived}
    again = [
        finding
        for place in progress.each(places(record.job), "core")
        for finding in judge_core(record.job, place, takes)
    ]
    return SheetInput(
        job=record.job,
        findings=record.findings,
        derived=derived,
        revision=record.revision,
        state_words=state_words,
        digest_hex=digest(data),
        declaration=record.declaration,
        issued_at_utc=record.frozen_at_utc,
        program_version=record.program_version,
        rejudged=again if _differs(record.findings, again) else None,
        files=(record_file(data),),
    )


def _state_of(its: OpenJob, revision: int) -> str:
    """How a frozen revision stands: as the job does, unless the job has gone on since."""
    if its.revisions and revision < its.revisions[-1].revision:
        return f"replaced by revision {its.revisions[-1].revision}"
    return row_of(its.job.state).words if row_of(its.job.state).locked else "frozen; a new revision is begun"


def _differs(frozen: Sequence[Finding], again: Sequence[Finding]) -> bool:
    def said(findings: Sequence[Finding]) -> list[tuple[object, ...]]:
        return [
            (one.core, one.procedure, one.rule, one.row, one.quantity, one.verdict, one.limit)
            for one in findings
        ]

    return said(frozen) != said(again)
