"""What a person signs about a record: tested, approved, issued, sent back; each with what it refuses."""

from __future__ import annotations

import datetime as dt
from typing import Final

from app.record import cms, papers, revision
from app.record.canonical import canonical, digest, parse_canonical
from app.record.certificates import Role, is_valid_at
from app.record.cms import Signature
from app.record.instants import said, utc_text
from app.record.papers import Decision, Issued, Papers
from app.record.people_keys import Unlocked
from app.record.problem import Altered, SigningProblem
from app.record.revision import Record
from app.record.sheet_signing import demand_two_people
from ctcore.errors import BadInput

SENT_BACK_FORMAT: Final = "coreleaf-sent-back"
THE_RECORD: Final = "the record"
THE_ISSUE: Final = "the issue"


def sign_tested(record: bytes, key: Unlocked, *, at: dt.datetime) -> bytes:
    """`record.p7s`: the signature of who declared the readings, over the canonical bytes of the record."""
    declared = _record(record).declaration
    _demand_fit(key, "tester", at)
    if key.certificate.person_id != declared.person_id:
        raise SigningProblem(
            f"Nothing was signed: {declared.name_text} declared this record, and the key is that of "
            f"{key.certificate.name_text}."
        )
    return cms.sign(record, key, meaning="tested", at=at)


def sign_approved(record: bytes, tested: bytes, key: Unlocked, *, at: dt.datetime) -> bytes:
    """`approved.p7s`: the signature of somebody else over the same bytes."""
    _record(record)
    _demand_fit(key, "approver", at)
    demand_two_people(_tested(record, tested), key)
    return cms.sign(record, key, meaning="approved", at=at)


def issue(
    given: Papers, key: Unlocked, *, at: dt.datetime, decision: Decision, concessions_text: str = ""
) -> Papers:
    """The papers with `issued.json` and its signature, which covers all of them by their digests.

    `given` holds record, both signatures and the signed sheet; events, read-me and certificate of the office
    where they go along. SigningProblem where they do not fit each other.
    """
    record = _record(given.record)
    if given.tested is None or given.approved is None or given.sheet is None:
        raise SigningProblem("Nothing was issued: record, both signatures and the signed sheet are needed.")
    _demand_fit(key, "approver", at)
    tested = _tested(given.record, given.tested)
    demand_two_people(tested, key)
    approved = _checked(given.record, given.approved)
    if approved.certificate != key.certificate:
        raise SigningProblem("Nothing was issued: who approved the record issues it, with the same key.")
    issued = Issued(
        job_id=record.job.job_id,
        number_text=record.job.header.number_text,
        revision=record.revision,
        tested=papers.signed_of(tested),
        approved=papers.signed_of(approved),
        decision=decision,
        concessions_text=concessions_text,
        issued_at_utc=utc_text(at),
        files=papers.digests(given),
    )
    data = papers.to_bytes(issued)
    return papers.with_issue(given, data, cms.sign(data, key, meaning="issued", at=at))


def sign_sent_back(
    record: bytes, tested: bytes, key: Unlocked, *, at: dt.datetime, reason_text: str
) -> tuple[bytes, bytes]:
    """`sent-back.json` with the reason, and its signature: the record goes back to who tested it."""
    job = _record(record)
    _demand_fit(key, "approver", at)
    demand_two_people(_tested(record, tested), key)
    if not reason_text.strip():
        raise SigningProblem("Nothing was sent back: it has a reason, which who tested has to read.")
    data = canonical(
        {
            "format": SENT_BACK_FORMAT,
            "version": 1,
            "record_digest": digest(record),
            "revision": job.revision,
            "reason_text": reason_text.strip(),
            "person_id": key.certificate.person_id,
            "name_text": key.certificate.name_text,
            "at_utc": utc_text(at),
        }
    )
    return data, cms.sign(data, key, meaning="sent back", at=at)


def reason_sent_back(record: bytes, data: bytes, signature: bytes) -> tuple[str, Signature]:
    """Why a record was sent back, and by whom; Altered where that was not said of this record."""
    checked = cms.check(data, signature, what="the answer")
    try:
        structure = parse_canonical(data, where="answer")
        fits = structure["format"] == SENT_BACK_FORMAT and structure["record_digest"] == digest(record)
        reason = str(structure["reason_text"])
    except (BadInput, KeyError, TypeError) as problem:
        raise Altered("The answer is not in the form that this program writes.") from problem
    if checked.meaning != "sent back" or not fits:
        raise Altered("The answer was given to another record.")
    return reason, checked


def _record(data: bytes) -> Record:
    try:
        return revision.from_bytes(data)
    except BadInput as problem:
        raise SigningProblem(f"Nothing was signed: the record cannot be read ({problem}).") from problem


def _tested(record: bytes, tested: bytes) -> Signature:
    signature = _checked(record, tested)
    if signature.meaning != "tested":
        raise SigningProblem("Nothing was signed: the record is not signed as tested.")
    return signature


def _checked(record: bytes, signature: bytes) -> Signature:
    try:
        return cms.check(record, signature, what=THE_RECORD)
    except Altered as problem:
        raise SigningProblem(f"Nothing was signed. {problem.sentence}") from problem


def _demand_fit(key: Unlocked, role: Role, at: dt.datetime) -> None:
    """A certificate signs while it is in force; one of the office only in the roles it names."""
    certificate = key.certificate
    if not is_valid_at(certificate, at):
        raise SigningProblem(
            f"Nothing was signed: the certificate of {certificate.name_text} is in force from "
            f"{said(certificate.from_utc)} to {said(certificate.until_utc)}. Have the key enrolled again."
        )
    if not certificate.self_signed and role not in certificate.roles:
        raise SigningProblem(f"Nothing was signed: {certificate.name_text} is not enrolled as {role}.")
