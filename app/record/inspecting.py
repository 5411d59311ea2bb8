"""The papers of a revision held against their signatures, each other, and whom this computer trusts."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from app.record import carried, cms, papers, revision, sheet_reading, trail
from app.record.act import ChainHead, Event
from app.record.canonical import digest
from app.record.cms import Meaning, Signature
from app.record.instants import instant_of, utc_text
from app.record.papers import NEEDED, NOT_COVERED, Issued, Papers
from app.record.problem import Altered, CannotTell
from app.record.revision import Record
from app.record.sheet_reading import ReadSheet, SheetSignature
from app.record.sheet_signing import (
    APPROVED_FIELD,
    CONCESSIONS_FIELD,
    DECISION_FIELD,
    NAME_FIELD,
    TESTED_FIELD,
)
from app.record.signing import THE_ISSUE, THE_RECORD
from app.record.trust import Trust
from app.record.verdict import Inquiry, Signer
from ctcore.errors import BadInput

APPROVAL_MISSING = 'The signature "approved by" is missing: the sheet is not issued, or it was cut off.'
SAME_PERSON = 'The same person signed "tested by" and "approved by"; such a sheet is never issued.'


@dataclass(slots=True)
class Inspector:
    """One check: what is trusted, where findings go, and the trail of the store that is checked."""

    trust: Trust
    inquiry: Inquiry
    events: Sequence[Event] = ()
    read: Record | None = None

    def learn(self, register: bytes | None) -> None:
        """Take a list of people that came along, where an office trusted here signed it and it is newer."""
        if register is None:
            return
        try:
            self.trust = self.trust.with_register(register)
        except (Altered, CannotTell) as problem:
            # One that no office known here signed says nothing, neither way.
            self.inquiry.note(f"The list of people that came along was not used: {problem.sentence}")

    def record(self, data: bytes) -> Record | None:
        """The record, which names itself in the details."""
        record = self.read = self.inquiry.attempt(lambda: _record(data))
        if record is not None:
            self.inquiry.details["number"] = record.job.header.number_text
            self.inquiry.details["revision"] = str(record.revision)
            self.inquiry.details["record digest"] = digest(data)
            self.continued(record, record.heads)
        return record

    def continued(self, record: Record, heads: Iterable[ChainHead]) -> None:
        """The trail of the store goes through these heads, which were signed with the record.

        A trail that was written anew fits in itself: only a head kept elsewhere shows it.
        """
        here = {(event.device_id, event.n): event.head for event in self.events}
        devices = {event.device_id for event in self.events}
        for head in heads:
            if head.device_id in devices and here.get((head.device_id, head.n)) != head.head:
                self.inquiry.is_altered(
                    f"The trail of device {head.device_id} is not the one in which number "
                    f"{record.job.header.number_text}, revision {record.revision}, was signed."
                )

    def signature(self, content: bytes, signature: bytes, *, meaning: Meaning, what: str) -> Signature | None:
        """A detached signature with its time: it fits, means what it should, and its signer counted then."""
        checked = self.inquiry.attempt(
            lambda: _meant(cms.check(content, signature, what=what), meaning, what)
        )
        if checked is not None and checked.at is not None:
            self.stand(checked, meaning=meaning, at_utc=utc_text(checked.at))
        return checked

    def stand(self, signature: Signature, *, meaning: Meaning, at_utc: str) -> None:
        """Name the signer, and find out whether the certificate counted at that time."""
        certificate = signature.certificate
        self.inquiry.signed(
            Signer(
                name_text=certificate.name_text,
                meaning=meaning,
                at_utc=at_utc,
                fingerprint=certificate.fingerprint,
            )
        )
        standing = self.inquiry.attempt(
            lambda: self.trust.standing(certificate, meaning=meaning, at=instant_of(at_utc))
        )
        if standing is not None:
            self.inquiry.note(standing)

    def two_people(self, tested: Signature | None, approved: Signature | None) -> None:
        """Tester and approver differ in number and in key."""
        if tested is None or approved is None:
            return
        one, other = tested.certificate, approved.certificate
        if one.person_id == other.person_id or one.key_fingerprint == other.key_fingerprint:
            self.inquiry.is_altered(SAME_PERSON)

    def declared(self, record: Record | None, tested: Signature | None) -> None:
        """Who signed is who declared."""
        if record is None or tested is None:
            return
        if tested.certificate.person_id != record.declaration.person_id:
            who = tested.certificate.name_text
            self.inquiry.is_altered(
                f"{record.declaration.name_text} declared the record, and {who} signed it."
            )


def inspect_papers(given: Papers, inspector: Inspector, *, pages: bool = True) -> str:
    """Everything about an issued revision; the sentence for the case that it is genuine.

    Without `pages` the signatures inside the sheet are left for later; its digest is held against the issue.
    """
    inspector.learn(given.register)
    record, tested = inspect_tested(given.record, given.tested, inspector)
    if given.approved is None:
        inspector.inquiry.lacks(APPROVAL_MISSING)
        return ""
    approved = inspector.signature(given.record, given.approved, meaning="approved", what=THE_RECORD)
    inspector.two_people(tested, approved)
    if given.issued is None or given.issued_signature is None:
        inspector.inquiry.lacks("The issue with its signature is missing.")
        return ""
    issue = inspector.signature(given.issued, given.issued_signature, meaning="issued", what=THE_ISSUE)
    if issue is None:
        return ""
    issued = inspector.inquiry.attempt(lambda: papers.from_bytes(given.issued or b""))
    if issued is None:
        return ""
    _inspect_files(given, issued, inspector)
    if record is not None:
        carried.inspect(record, given.attached, inspector.inquiry)
    if record is not None and tested is not None and approved is not None:
        _inspect_issue(record, issued, inspector, (tested, approved, issue))
        inspect_events(given.events, record, inspector)
    if pages and given.sheet is not None:
        _inspect_sheet_of(given, issued, inspector)
    return (
        f"number {issued.number_text}, revision {issued.revision}, is as it was signed by "
        f"{issued.tested.name_text} as tested and by {issued.approved.name_text} as {issued.decision}."
    )


def inspect_tested(
    data: bytes, signature: bytes | None, inspector: Inspector
) -> tuple[Record | None, Signature | None]:
    """A record with the signature of who tested."""
    if signature is None:
        inspector.inquiry.lacks("The record carries no signature.")
        return inspector.record(data), None
    tested = inspector.signature(data, signature, meaning="tested", what=THE_RECORD)
    record = inspector.record(data)
    inspector.declared(record, tested)
    return record, tested


def inspect_events(events: bytes | None, record: Record, inspector: Inspector) -> None:
    """The events, where they came along, fit each other and the heads in the record."""
    if events is None:
        return
    came = inspector.inquiry.attempt(lambda: trail.from_bytes(events))
    if came is not None:
        inspector.inquiry.attempt(lambda: trail.demand_fitting(came, record.heads))
        inspector.continued(record, (ChainHead(event.device_id, event.n, event.head) for event in came))


def inspect_sheet(sheet: bytes, inspector: Inspector, *, alone: bool = True) -> tuple[ReadSheet | None, str]:
    """The signatures of a sheet: what was read, and the sentence where it is genuine.

    `alone` where nothing else was checked: then the record that is attached to it is checked as well.
    """
    read = inspector.inquiry.attempt(lambda: sheet_reading.read(sheet))
    if read is None:
        return None, ""
    inspector.inquiry.details["sheet digest"] = digest(sheet)
    tested, approved = read.signed(TESTED_FIELD), read.signed(APPROVED_FIELD)
    for one in read.signatures:
        inspector.stand(one.signature, meaning=one.signature.meaning, at_utc=utc_text(one.at))
    if alone:
        _inspect_attached(read, tested, inspector)
    if approved is None or tested is None:
        inspector.inquiry.lacks(APPROVAL_MISSING)
        return read, ""
    inspector.two_people(tested.signature, approved.signature)
    names = (tested.signature.certificate.name_text, approved.signature.certificate.name_text)
    return read, f"the sheet is as it was signed by {names[0]} as tested and by {names[1]} as approved."


def _inspect_attached(read: ReadSheet, tested: SheetSignature | None, inspector: Inspector) -> None:
    record = read.attached.get("record.json")
    if record is None or "record.p7s" not in read.attached:
        inspector.inquiry.lacks("The signed record is not attached to the sheet.")
        return
    _, signature = inspect_tested(record, read.attached["record.p7s"], inspector)
    if signature is not None and tested is not None and signature.certificate != tested.signature.certificate:
        inspector.inquiry.is_altered(
            "The sheet and the record attached to it were signed by different people."
        )


def _inspect_files(given: Papers, issued: Issued, inspector: Inspector) -> None:
    here = papers.digests(given)
    for name in (*NEEDED, *(name for name in issued.files if name not in NEEDED)):
        if name not in here:
            inspector.inquiry.lacks(f"{name} is missing.")
        elif issued.files.get(name) != here[name]:
            inspector.inquiry.is_altered(f"{name} is not the file that was issued: its digest differs.")
    for name in sorted(set(here) - set(issued.files) - set(NOT_COVERED) - set(NEEDED)):
        inspector.inquiry.is_altered(f"{name} was not issued: it was put in afterwards.")


def _inspect_issue(
    record: Record, issued: Issued, inspector: Inspector, signatures: tuple[Signature, Signature, Signature]
) -> None:
    tested, approved, issue = signatures
    if issue.certificate != approved.certificate:
        inspector.inquiry.is_altered("Who approved the record is not who issued it.")
    said = (issued.job_id, issued.number_text, issued.revision)
    if said != (record.job.job_id, record.job.header.number_text, record.revision):
        inspector.inquiry.is_altered(
            f"The issue is of number {issued.number_text}, revision {issued.revision}; the record is "
            f"number {record.job.header.number_text}, revision {record.revision}."
        )
    if (issued.tested, issued.approved) != (papers.signed_of(tested), papers.signed_of(approved)):
        inspector.inquiry.is_altered("The issue names other people or other times than the signatures do.")


def _inspect_sheet_of(given: Papers, issued: Issued, inspector: Inspector) -> None:
    """The sheet of issued papers: its own signatures, and that it is of this record."""
    read, _ = inspect_sheet(given.sheet or b"", inspector, alone=False)
    if read is None:
        return
    for name in ("record.json", "record.p7s"):
        if read.attached.get(name) != given.files().get(name):
            inspector.inquiry.is_altered(
                f"The sheet is that of another record: {name} attached to it differs."
            )
    wanted = [issued.tested.fingerprint, issued.approved.fingerprint]
    if [one.signature.certificate.fingerprint for one in read.signatures] != wanted:
        inspector.inquiry.is_altered("The sheet was not signed by those who signed the record.")
    told = (read.texts[DECISION_FIELD], read.texts[CONCESSIONS_FIELD], read.texts[NAME_FIELD])
    if told != (issued.decision, issued.concessions_text, issued.approved.name_text):
        inspector.inquiry.is_altered(
            "The block of the approval on the sheet says something else than the issue."
        )


def with_sheet(given: Papers, sheet: bytes) -> Papers:
    """The papers with this file in the place of their sheet."""
    return dataclasses.replace(given, sheet=sheet)


def _record(data: bytes) -> Record:
    try:
        return revision.from_bytes(data)
    except BadInput as problem:
        if "newer" in problem.reason:
            raise CannotTell(
                "The record was made by a newer Coreleaf: its bytes can be checked, not read."
            ) from problem
        raise Altered(f"The record is not in the one form that is signed ({problem.reason}).") from problem


def _meant(signature: Signature, meaning: Meaning, what: str) -> Signature:
    if signature.meaning != meaning:
        raise Altered(f'The signature of {what} says "{signature.meaning}" where "{meaning}" belongs.')
    if signature.at is None:
        raise Altered(f"The signature of {what} was taken from elsewhere: it has no time.")
    return signature
