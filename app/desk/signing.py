"""Verbs that sign: hand in, take back, send back, approve, issue. Each signature is kept with its event."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from app import progress
from app.desk import journey
from app.desk.approval_texts import concessions_text, decision_of, sent_back_text
from app.desk.chains import PACK_TYPE, SHEET_TYPE, approved_name, papers_of, tested_name
from app.desk.core import OpenJob
from app.desk.deciding import DecisionVerbs
from app.desk.exceptions import exceptions_of
from app.desk.keys import KeyVerbs, refusals
from app.desk.papers import DECLARATION_TEXT, PaperVerbs, sheet_of_record
from app.desk.view import Change, Refusal
from app.desk.wall_clock import moment
from app.jobstore import StoredRevision
from app.record.canonical import digest, digest_groups
from app.record.revision import Record

if TYPE_CHECKING:
    import datetime as dt

    from app.record.papers import Papers
    from app.record.people_keys import Unlocked
    from app.report.sheet import SheetInput, Spot

_TESTED_STATE_TEXT = "signed as tested"


class SigningVerbs(KeyVerbs, PaperVerbs, DecisionVerbs):
    """What takes a job from one hand to the next under a signature."""

    def hand_in(
        self,
        job_id: str,
        passphrase: str,
        to_whom_text: str,
        path: Path | None = None,
        *,
        declaration_text: str = DECLARATION_TEXT,
    ) -> Change:
        """Sign the revision as tested and hand it in; where a path is given, write the file that travels."""
        its = self._of(job_id)
        self._demand_open(its)
        self._demand_step(its, "hand_in")
        if not self.settings.get("person_name_text"):
            raise Refusal("Say first who you are; the sheet names the person who tested.")
        if not to_whom_text.strip():
            raise Refusal("Say first whom the job goes to. Nothing was changed.")
        key = self._unlocked(passphrase)
        from app.record.signing import sign_tested

        record, data = self._frozen(job_id, declaration_text)
        at = self._clock()
        with refusals():
            tested = sign_tested(data, key, at=at)
            sheet = self._certified(record, data, tested, key=key, at=at)
        self._attach(job_id, tested_name(record.revision), sheet, SHEET_TYPE)
        to = {
            "record": digest(data),
            "signature": journey.spelled(tested),
            "meaning_text": "tested",
            "to_text": to_whom_text.strip(),
        }
        where: dict[str, object] = {"job_id": job_id, "revision": record.revision}
        act = self._act(journey.SIGN, its.job, where, None, to)
        note = f"Revision {record.revision} is signed as tested and handed in to {to_whom_text.strip()}."
        note += self._carried(its.job)[1]
        change = self._freeze_as(its, data, act, record.revision, note_text=note)
        if path is not None:
            self.write_signed_file(job_id, path)
        return change

    def take_back(self, job_id: str, reason_text: str) -> Change:
        """Take a job back that was handed in, for a new revision; an answer that still comes is refused."""
        its = self._of(job_id)
        self._demand_step(its, "take_back")
        if not reason_text.strip():
            raise Refusal("A job is taken back with a reason. Nothing was changed.")
        act = self._act(journey.TAKE_BACK, its.job, {"job_id": job_id}, None, reason_text.strip())
        return self._move(its, act, "being_tested", "Taken back; the next revision replaces what was signed.")

    def send_back(
        self, job_id: str, passphrase: str, reason_text: str = "", path: Path | None = None
    ) -> Change:
        """Sign what goes back to who tested, and why; where a path is given, write the file that travels."""
        its = self._of(job_id)
        self._demand_step(its, "send_back")
        key = self._unlocked(passphrase)
        from app.record.signing import sign_sent_back

        stored, papers = self._last_papers(its)
        lines = exceptions_of(its.job, self._findings_to_decide(its))
        told = sent_back_text(its.job, lines, reason_text)
        with refusals():
            answer, signature = sign_sent_back(
                papers.record, papers.tested or b"", key, at=self._clock(), reason_text=told
            )
        case = self._case(its)
        to = {
            "answer": journey.spelled(answer),
            "answer_signature": journey.spelled(signature),
            "reason_text": told,
            "to_text": case.tester_text,
            "to_id": case.tester_id or "",
        }
        where: dict[str, object] = {"job_id": job_id, "revision": stored.revision}
        act = self._act(journey.SEND_BACK, its.job, where, None, to)
        progress.write_whole()
        change = self._move(its, act, "sent_back", f"Sent back to {case.tester_text}.")
        if path is not None:
            self.write_signed_file(job_id, path)
        return change

    def approve(self, job_id: str, passphrase: str) -> Change:
        """Sign the record and the sheet as approved, with the decision and every concession on the sheet."""
        its = self._of(job_id)
        self._demand_step(its, "approve")
        key = self._unlocked(passphrase)
        from app.record.sheet_signing import CONCESSIONS_FIELD, DECISION_FIELD, NAME_FIELD, TIME_FIELD
        from app.record.signing import sign_approved

        stored, papers = self._last_papers(its)
        lines = exceptions_of(its.job, self._findings_to_decide(its))
        at = self._clock()
        name_text = key.certificate.name_text
        texts = {
            DECISION_FIELD: decision_of(lines),
            CONCESSIONS_FIELD: concessions_text(its.job, lines, name_text),
            NAME_FIELD: name_text,
            TIME_FIELD: moment(*_utc_and_offset(at)),
        }
        with refusals():
            approved = sign_approved(papers.record, papers.tested or b"", key, at=at)
            sheet = self._countersigned(papers, key, at=at, texts=texts)
        self._attach(job_id, approved_name(stored.revision), sheet, SHEET_TYPE)
        to = {
            "record": stored.digest,
            "signature": journey.spelled(approved),
            "meaning_text": texts[DECISION_FIELD],
            "concessions_text": texts[CONCESSIONS_FIELD],
        }
        where: dict[str, object] = {"job_id": job_id, "revision": stored.revision}
        act = self._act(journey.APPROVE, its.job, where, None, to)
        return self._move(its, act, "approved", f"Revision {stored.revision} is approved by {name_text}.")

    def issue(self, job_id: str, passphrase: str, path: Path | None = None) -> Change:
        """Sign the issue, which holds the digest of every paper; where a path is given, write the pack."""
        its = self._of(job_id)
        self._demand_step(its, "issue")
        key = self._unlocked(passphrase)
        from app.record import pack, signing

        stored, papers = self._last_papers(its)
        lines = exceptions_of(its.job, self._findings_to_decide(its))
        concessions = concessions_text(its.job, lines, key.certificate.name_text)
        at = self._clock()
        with refusals():
            given = self._papers_to_issue(its, papers, key, at=at)
            behind = self._carried(its.job)[1]
            issued = signing.issue(
                given, key, at=at, decision=decision_of(lines), concessions_text=concessions
            )
            packed = pack.build_pack(issued)
        self._attach(job_id, f"revision-{stored.revision}-issued.zip", packed, PACK_TYPE)
        where: dict[str, object] = {"job_id": job_id, "revision": stored.revision}
        act = self._act(journey.ISSUE, its.job, where, None, {"pack": digest(packed)})
        change = self._move(its, act, "issued", f"Revision {stored.revision} is issued.{behind}")
        if path is not None:
            self.write_signed_file(job_id, path)
        return change

    def write_signed_file(self, job_id: str, path: Path) -> Path:
        """Write the file that travels: to who decides, back to who tested, or the pack of an issue."""
        from app.exchange import signedfile
        from app.record import pack, signed_job, trail

        its = self._of(job_id)
        if its.last_record is None or its.last_record.revision not in its.journey.tested:
            raise Refusal("This job is not signed yet, so there is no signed file to write.")
        with refusals():
            stored, papers = self._last_papers(its)
            if papers.issued is not None:
                signedfile.save(path, pack.build_pack(papers))
                return path
            assert papers.tested is not None
            answer, signature = its.journey.answers.get(stored.revision, (None, None))
            job = signed_job.SignedJob(
                record=papers.record,
                tested=papers.tested,
                sheet=papers.sheet,
                events=trail.to_bytes(self._events_of(job_id)),
                sent_back=answer,
                sent_back_signature=signature,
                attached=self._carried(its.job)[0],
            )
            signedfile.save(path, signed_job.to_bytes(job))
        return path

    # Papers

    def _last_papers(self, its: OpenJob) -> tuple[StoredRevision, Papers]:
        stored = self.store.revisions(its.job.job_id)[-1]
        with refusals():
            return stored, papers_of(self.store, its.job.job_id, stored, its.journey)

    def _certified(
        self, record: Record, data: bytes, tested: bytes, *, key: Unlocked, at: dt.datetime
    ) -> bytes:
        """The sheet of the record, with the record and its signature in it, signed by who tested."""
        from app.record.sheet_signing import TESTED_FIELD, Place, certify
        from app.report.sheet import render_with_spots

        drawn, spots = render_with_spots(self._with_pictures(_sheet_to_sign(record, data, tested)))
        places = [Place(one.name, one.page, one.left, one.lower, one.right, one.upper) for one in spots]
        shown = _signature_picture(key, at, "tested", _named(spots)[TESTED_FIELD])
        return certify(drawn, key, at=at, places=places, picture=shown)

    def _countersigned(
        self, papers: Papers, key: Unlocked, *, at: dt.datetime, texts: dict[str, str]
    ) -> bytes:
        """The certified sheet with the block of the approval filled in and signed."""
        from app.record import revision
        from app.record.sheet_signing import APPROVED_FIELD, TEXT_FIELDS, countersign
        from app.report.pictures import picture
        from app.report.sheet import spots_of

        if papers.sheet is None or papers.tested is None:
            raise Refusal("Nothing was signed: the sheet that the tester signed is missing from the store.")
        record = revision.from_bytes(papers.record)
        spots = _named(spots_of(_sheet_to_sign(record, papers.record, papers.tested)))
        pictures = {}
        for name in TEXT_FIELDS:
            shown = picture(texts[name], spots[name])
            if shown is None:
                raise Refusal(
                    "Nothing was signed: the concessions do not fit into their place on the sheet. Shorten "
                    "the reasons, or send the job back to have them written into a new revision."
                )
            pictures[name] = shown
        seal = _signature_picture(key, at, "approved", spots[APPROVED_FIELD])
        return countersign(papers.sheet, key, at=at, texts=texts, pictures=pictures, picture=seal)

    def _papers_to_issue(self, its: OpenJob, papers: Papers, key: Unlocked, *, at: dt.datetime) -> Papers:
        """The papers with events, read-me and the office's certificate and list, ready to be issued."""
        import dataclasses

        from app.record import cms, pack, trail
        from app.record.instants import epoch_s

        office, register = self._office_papers(key)
        assert papers.tested is not None
        assert papers.approved is not None
        readme = pack.readme(
            tested=cms.check(papers.record, papers.tested, what="the record"),
            approved=cms.check(papers.record, papers.approved, what="the record"),
            issued_epoch_s=epoch_s(at),
            office=office,
        )
        events = trail.to_bytes(self._events_of(its.job.job_id))
        attached, _ = self._carried(its.job)
        return dataclasses.replace(
            papers, events=events, readme=readme, office=office, register=register, attached=attached
        )


def _sheet_to_sign(record: Record, data: bytes, tested: bytes) -> SheetInput:
    import dataclasses

    from app.record.sheet_files import record_signature

    sheet = sheet_of_record(record, data, _TESTED_STATE_TEXT)
    return dataclasses.replace(sheet, signed=True, files=(*sheet.files, record_signature(tested)))


def _named(spots: tuple[Spot, ...]) -> dict[str, Spot]:
    return {one.name: one for one in spots}


def _signature_picture(key: Unlocked, at: dt.datetime, meaning: str, spot: Spot) -> bytes | None:
    """What is to be seen where a signature stands: meaning, name, time, and the key to compare with."""
    from app.report.pictures import picture

    groups = digest_groups(key.certificate.fingerprint[:16])
    told = f"Signed as {meaning}, {moment(*_utc_and_offset(at))}\n{key.certificate.name_text}, key {groups}"
    return picture(told, spot)


def _utc_and_offset(at: dt.datetime) -> tuple[str, int]:
    offset = at.utcoffset()
    minutes = int(offset.total_seconds() // 60) if offset else 0
    return (at - offset if offset else at).replace(tzinfo=None).isoformat(timespec="seconds"), minutes
