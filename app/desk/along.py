"""Frozen revisions on their way with a draft: each as the signed file it is, proved before it is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from app.desk import journey
from app.desk.carrying import CarryCore
from app.desk.chains import PACK_TYPE, SHEET_TYPE, approved_name, papers_of, tested_name
from app.desk.keys import KeyVerbs, refusals
from app.desk.view import Refusal
from app.jobstore import StoredRevision
from app.record.act import Event
from app.record.canonical import digest
from app.record.papers import Papers
from app.record.revision import Record, from_bytes
from ctcore.job import Job

LARGEST_TOGETHER: Final = 32_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Along:
    """One revision that came along: what is kept of it, and what the event that takes it in says of it."""

    record: Record
    data: bytes
    to: dict[str, object]
    sheet: tuple[str, bytes] | None = None
    pack: bytes | None = None


class AlongCore(KeyVerbs, CarryCore):
    """Revisions out of the store into a draft, and back."""

    def _demand_genuine(self, data: bytes) -> None:
        """Refuse what is altered, and what nobody known here vouches for, in the words of the check."""
        from app.record.verify import verify_bytes

        with refusals():
            verdict = verify_bytes(data, trust=self.trust())
        if verdict.outcome != "genuine":
            said = verdict.sentences[0].partition(": ")[2] or verdict.sentences[0]
            raise Refusal(f"{said} Nothing was taken in.")

    def _revisions_along(self, job_id: str) -> dict[int, bytes]:
        """The frozen revisions of a job as files, the newest first as far as there is room."""
        found: dict[int, bytes] = {}
        room = LARGEST_TOGETHER
        way = self._of(job_id).journey
        for stored in reversed(self.store.revisions(job_id)):
            with refusals():
                papers = papers_of(self.store, job_id, stored, way)
                data = _as_file(papers, way.answers.get(stored.revision, (None, None)))
            if len(data) > room:
                break
            found[stored.revision] = data
            room -= len(data)
        return found

    def _missing_here(self, job: Job, files: Mapping[int, bytes], events: Sequence[Event]) -> list[Along]:
        """Of the revisions that came, those that are not here, proved; Refusal where one cannot be kept."""
        here = {one.revision: one.digest for one in self._kept_revisions(job.job_id)}
        named = {
            (int(one.content["record"]["revision"]), str(one.content["record"]["digest"]))
            for one in events
            if "record" in one.content
        }
        found: list[Along] = []
        for number, data in sorted(files.items()):
            along = _read(data)
            said = digest(along.data)
            if (number, said) not in named or (along.record.revision, along.record.job.job_id) != (
                number,
                job.job_id,
            ):
                raise Refusal(
                    "A revision in the draft is not one that its trail names. Nothing was taken in."
                )
            if here.get(number) == said:
                continue
            if number in here:
                raise Refusal(
                    f"Revision {number} of this job is here already and says something else. "
                    "Nothing was taken in."
                )
            if "signature" in along.to:
                self._demand_genuine(data)
            found.append(along)
        have = {*here.items(), *((one.record.revision, digest(one.data)) for one in found)}
        if named - have:
            raise Refusal(
                "This job has a frozen revision that is not on this computer and did not come along: take "
                "the signed file of it in first. Nothing was taken in."
            )
        return found

    def _keep_along(self, job: Job, found: Sequence[Along], file_text: str) -> str:
        """Keep revisions with their papers, each by an event of its own; a sentence that says so."""
        for one in found:
            number = one.record.revision
            where: dict[str, object] = {"revision": number, "file": file_text}
            act = self._act(journey.TAKE_IN, job, where, None, one.to)
            self.store.append(job.job_id, act, record=(number, one.data))
            if one.sheet is not None:
                self._attach(job.job_id, *one.sheet, SHEET_TYPE)
            if one.pack is not None:
                self._attach(job.job_id, f"revision-{number}-issued.zip", one.pack, PACK_TYPE)
        if not found:
            return ""
        self._open.pop(job.job_id, None)
        numbers = ", ".join(str(one.record.revision) for one in found)
        return f" Frozen with the draft, and kept here now: revision {numbers}."

    def _kept_revisions(self, job_id: str) -> list[StoredRevision]:
        return self.store.revisions(job_id) if self._has(job_id) else []

    def _has(self, job_id: str) -> bool:
        return job_id in {line.job_id for line in self.store.jobs()}


def demand_sheet_of(sheet: bytes, data: bytes, tested: bytes) -> None:
    """Refuse an altered sheet, or one signed for another record: it is what will be countersigned."""
    from app.record.sheet_reading import read

    with refusals():
        attached = read(sheet).attached
    if (attached.get("record.json"), attached.get("record.p7s")) != (data, tested):
        raise Refusal("The sheet that came along is that of another record. Nothing was taken in.")


def record_of(data: bytes) -> bytes:
    """The bytes of the record in a file of a revision; Refusal where it cannot be read."""
    return _read(data).data


def _as_file(papers: Papers, answer: tuple[bytes | None, bytes | None]) -> bytes:
    """A revision as one file: the pack of its issue, a signed job, or the bare record of an unsigned one."""
    from app.record import pack, signed_job

    if papers.issued is not None:
        return pack.build_pack(papers)
    if papers.tested is None:
        return papers.record
    job = signed_job.SignedJob(
        record=papers.record, tested=papers.tested, sheet=papers.sheet, sent_back=answer[0],
        sent_back_signature=answer[1],
    )  # fmt: skip
    return signed_job.to_bytes(job)


def _read(data: bytes) -> Along:
    """A revision out of such a file; nothing of it is proved yet."""
    from app.exchange import signedfile
    from app.record import pack

    with refusals():
        kind = signedfile.kind_of(data)
        if kind == "pack":
            return _of_pack(data, pack.read_pack(data))
        if kind == "signed job":
            return _of_signed(data)
        return Along(record=from_bytes(data), data=data, to={"record": digest(data)})


def _of_pack(data: bytes, papers: Papers) -> Along:
    record = from_bytes(papers.record)
    to = {**_signed_to(record, papers.record, papers.tested or b""), "pack": digest(data)}
    sheet = None if papers.sheet is None else (approved_name(record.revision), papers.sheet)
    return Along(record=record, data=papers.record, to=to, sheet=sheet, pack=data)


def _of_signed(data: bytes) -> Along:
    from app.record import signed_job

    job = signed_job.from_bytes(data)
    record = from_bytes(job.record)
    to = _signed_to(record, job.record, job.tested)
    if job.sent_back is not None and job.sent_back_signature is not None:
        to["answer"] = journey.spelled(job.sent_back)
        to["answer_signature"] = journey.spelled(job.sent_back_signature)
    if job.sheet is not None:
        demand_sheet_of(job.sheet, job.record, job.tested)
    sheet = None if job.sheet is None else (tested_name(record.revision), job.sheet)
    return Along(record=record, data=job.record, to=to, sheet=sheet)


def _signed_to(record: Record, data: bytes, tested: bytes) -> dict[str, object]:
    return {
        "record": digest(data),
        "signature": journey.spelled(tested),
        "meaning_text": f"tested by {record.declaration.name_text}",
    }
