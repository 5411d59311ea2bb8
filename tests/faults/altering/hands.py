"""The means of those who alter: spoiled packs, issues that lie, signatures without a question."""

from __future__ import annotations

import dataclasses
import datetime as dt
from typing import Any
from unittest import mock

from app.record import cms, pack, papers, sheet_files, sheet_signing
from app.record.papers import Papers
from app.record.people_keys import Unlocked
from app.record.trust import Trust
from app.record.verdict import Verdict
from app.record.verify import verify_bytes
from tests.app.record.signed_scene import (
    APPROVED_AT,
    TESTED_AT,
    TEXTS,
    revision_of,
    trust,
)


def checked(data: bytes, *, by: Trust | None = None, against: bytes | None = None) -> Verdict:
    return verify_bytes(data, trust=trust() if by is None else by, pack=against)


def repacked(**changes: bytes | None) -> bytes:
    """The pack of number 1042 with other files in it."""
    return pack.build_pack(dataclasses.replace(revision_of().papers, **changes))


def reissued(given: Papers, key: Unlocked, **changes: Any) -> bytes:
    """A pack whose issue says something else, signed by that key: what an approver could do who lies."""
    issued = dataclasses.replace(papers.from_bytes(revision_of().papers.issued or b""), **changes)
    data = papers.to_bytes(issued)
    signature = cms.sign(data, key, meaning="issued", at=APPROVED_AT)
    return pack.build_pack(dataclasses.replace(given, issued=data, issued_signature=signature))


def whole_pack_by(one: Unlocked, other: Unlocked, *, at: dt.datetime = APPROVED_AT) -> bytes:
    """A pack signed by two others in place of tester and approver, by one who keeps no rule."""
    its = revision_of()
    tested = cms.sign(its.record, one, meaning="tested", at=TESTED_AT)
    approved = cms.sign(its.record, other, meaning="approved", at=at)
    pages = its.pages_with(sheet_files.record_file(its.record), sheet_files.record_signature(tested))
    sheet = sheet_signing.certify(pages, one, at=TESTED_AT)
    sheet = countersigned(sheet, other, at=at, name_text=other.certificate.name_text)
    draft = dataclasses.replace(its.draft, tested=tested, approved=approved, sheet=sheet, readme=None)
    issued = papers.Issued(
        job_id=its.job.job_id,
        number_text=its.number_text,
        revision=its.revision_number,
        tested=papers.signed_of(cms.check(its.record, tested, what="it")),
        approved=papers.signed_of(cms.check(its.record, approved, what="it")),
        decision="approved",
        concessions_text="",
        issued_at_utc="2031-05-06T07:15:00Z",
        files=papers.digests(draft),
    )
    data = papers.to_bytes(issued)
    return pack.build_pack(papers.with_issue(draft, data, cms.sign(data, other, meaning="issued", at=at)))


def countersigned(
    sheet: bytes, key: Unlocked, *, at: dt.datetime = APPROVED_AT, name_text: str = ""
) -> bytes:
    """The second signature without the question whether it is another person."""
    texts = {**TEXTS, sheet_signing.NAME_FIELD: name_text}
    with mock.patch.object(sheet_signing, "demand_two_people"):
        return sheet_signing.countersign(sheet, key, at=at, texts=texts, pictures={})
