"""A signed and issued revision to check and to spoil: office, two people, record, sheet, pack."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from functools import cache, cached_property
from typing import Any

from app.record import certificates, cms, pack, register, revision, sheet_files, sheet_signing, signing, trail
from app.record.act import Act, ChainHead, Event
from app.record.canonical import digest
from app.record.certificates import Role, certificate_of
from app.record.chain import FIRST_PREV, next_event
from app.record.papers import Papers
from app.record.people_keys import Unlocked
from app.record.register import Line, Register
from app.record.revision import Declaration, Record
from app.record.trust import Trust, trust_of
from app.report.pen import Pen
from app.report.sheet import SheetInput, render
from ctcore.job import Job, from_plain, places
from ctcore.judge import judge
from samples import SAMPLES

# A test may put a key of this file in the place of a new one.
_new_key = certificates.new_key

MADE = dt.datetime(2031, 5, 4, 8, 0, tzinfo=dt.UTC)
TESTED_AT = dt.datetime(2031, 5, 4, 14, 30, tzinfo=dt.UTC)
APPROVED_AT = dt.datetime(2031, 5, 6, 7, 15, tzinfo=dt.UTC)
TESTER_ID, APPROVER_ID = "p-tester", "p-approver"


@cache
def key_of(name: str) -> Any:
    """One private key per name and run: making one takes a third of a second."""
    return _new_key()


@cache
def office(name_text: str = "Invented Test Office") -> Unlocked:
    """An office that is unlocked, without a folder."""
    subject, private = certificates.office_subject(name_text), key_of(name_text)
    der = certificates.issue(
        subject, private.public_key(), issuer=subject, by=private, at=MADE, years=10, office=True
    )
    return Unlocked(certificate_of(der), private)


@cache
def person(
    name_text: str,
    person_id: str,
    roles: tuple[Role, ...],
    *,
    by: str = "Invented Test Office",
    key_name: str = "",
    at: dt.datetime = MADE,
) -> Unlocked:
    """A person whom the office enrolled; alone where `by` is empty."""
    private = key_of(key_name or name_text)
    subject = certificates.subject_of(name_text, person_id, roles)
    issuer, signer = (certificates.office_subject(by), office(by).private) if by else (subject, private)
    der = certificates.issue(subject, private.public_key(), issuer=issuer, by=signer, at=at, years=2)
    return Unlocked(certificate_of(der), private)


def the_tester() -> Unlocked:
    return person("A. Tester", TESTER_ID, ("tester",))


def the_approver() -> Unlocked:
    return person("B. Approver", APPROVER_ID, ("approver",))


def listed(
    *, number: int = 1, made: dt.datetime = MADE, ended: dict[str, dt.datetime] | None = None, by: str = ""
) -> bytes:
    """The office's list with both people, some of them ended."""
    its = office(by) if by else office()
    lines = tuple(
        Line(
            key.certificate.fingerprint,
            key.certificate.key_fingerprint,
            key.certificate.person_id,
            key.certificate.name_text,
            MADE,
            ended_utc=(ended or {}).get(key.certificate.person_id),
            reason_text="Left the office." if key.certificate.person_id in (ended or {}) else "",
        )
        for key in (the_tester(), the_approver())
    )
    return register.to_bytes(Register(number, made, its.certificate.fingerprint, lines), its)


@cache
def trust() -> Trust:
    """Trust in the office and its list."""
    return trust_of([certificates.pem_of(office().certificate.der)], [listed()])


@cache
def job(number_text: str = "1042") -> Job:
    """The line bay of the samples with one core, under a number of its own."""
    sample = next(entry for entry in SAMPLES if entry.name == "line_bay")
    whole = from_plain(json.loads(sample.file.read_text("utf-8")))
    place = places(whole)[0]
    here = place.core.core_id
    return dataclasses.replace(
        whole,
        job_id=f"job-{number_text}",
        header=dataclasses.replace(whole.header, number_text=number_text),
        positions=(
            dataclasses.replace(place.position, cts=(dataclasses.replace(place.ct, cores=(place.core,)),)),
        ),
        readings=tuple(entry for entry in whole.readings if entry.core_id == here),
        acknowledgements=tuple(entry for entry in whole.acknowledgements if entry.core_id == here),
        deviations=(),
        remarks=(),
    )


@cache
def events() -> tuple[Event, ...]:
    """Three events of one device, the second of another job in between left out."""
    chain: list[Event] = []
    for n, kind in enumerate(("job made", "other job", "freeze", "hand in"), start=1):
        act = Act(kind, TESTER_ID, "A. Tester", f"2031-05-04T14:2{n}:00Z", 120, "Etc/UTC")
        chain.append(next_event(chain[-1].head if chain else FIRST_PREV, n, "d1", act))
    return (chain[0], *chain[2:])


PLACES = (
    sheet_signing.Place("TestedBy", 0, 60, 60, 160, 90),
    sheet_signing.Place("ApprovedBy", 0, 200, 60, 300, 90),
    sheet_signing.Place("ApprovalDecision", 0, 310, 60, 400, 90),
)
TEXTS = {
    "ApprovalDecision": "approved",
    "ApprovalName": "B. Approver",
    "ApprovalTime": "6 May 2031 07:15 UTC",
}


class Revision:
    """One revision of a job through all its steps, each made when it is first asked for."""

    def __init__(self, number_text: str, revision_number: int) -> None:
        self.number_text = number_text
        self.revision_number = revision_number

    @property
    def job(self) -> Job:
        """What was tested."""
        return job(self.number_text)

    @cached_property
    def record(self) -> bytes:
        """The frozen record, declared by the tester."""
        its = self.job
        return revision.to_bytes(
            Record(
                program_version="0.0.0",
                rules_version="1",
                revision=self.revision_number,
                job=its,
                findings=tuple(judge(its)),
                derived=(),
                declaration=Declaration(
                    person_id=TESTER_ID,
                    name_text="A. Tester",
                    text="I took these readings as recorded.",
                    at_utc="2031-05-04T14:29:00Z",
                    utc_offset_minutes=120,
                ),
                heads=(ChainHead("d1", 3, events()[1].head),),
                frozen_at_utc="2031-05-04T14:29:00Z",
            )
        )

    @cached_property
    def pages(self) -> bytes:
        """The sheet before it is signed, with the signed record in it."""
        return self.pages_with(
            sheet_files.record_file(self.record), sheet_files.record_signature(self.tested)
        )

    def pages_with(self, *files: sheet_files.Attached) -> bytes:
        """The sheet before it is signed, with these files in it."""
        its = revision.from_bytes(self.record)
        return render(
            SheetInput(
                job=its.job,
                findings=its.findings,
                derived={},
                revision=its.revision,
                state_words="issued",
                digest_hex=digest(self.record),
                declaration=its.declaration,
                issued_at_utc=its.frozen_at_utc,
                program_version=its.program_version,
                files=files,
            )
        )

    @cached_property
    def tested(self) -> bytes:
        """The signature of the tester over the record."""
        return signing.sign_tested(self.record, the_tester(), at=TESTED_AT)

    @cached_property
    def approved(self) -> bytes:
        """The signature of the approver over the record."""
        return signing.sign_approved(self.record, self.tested, the_approver(), at=APPROVED_AT)

    @cached_property
    def certified(self) -> bytes:
        """The sheet with the signature of the tester."""
        return sheet_signing.certify(self.pages, the_tester(), at=TESTED_AT, places=PLACES, picture=picture())

    @cached_property
    def sheet(self) -> bytes:
        """The sheet with both signatures."""
        return sheet_signing.countersign(
            self.certified,
            the_approver(),
            at=APPROVED_AT,
            texts=TEXTS,
            pictures={"ApprovalDecision": picture()},
            picture=picture(),
        )

    @cached_property
    def draft(self) -> Papers:
        """All papers before their issue."""
        readme = pack.readme(
            tested=cms.check(self.record, self.tested, what="it"),
            approved=cms.check(self.record, self.approved, what="it"),
            issued_epoch_s=int(APPROVED_AT.timestamp()),
            office=office().certificate.der,
        )
        return Papers(
            record=self.record,
            tested=self.tested,
            approved=self.approved,
            sheet=self.sheet,
            events=trail.to_bytes(events()),
            readme=readme,
            office=certificates.pem_of(office().certificate.der),
            register=listed(),
        )

    @cached_property
    def papers(self) -> Papers:
        """All papers, issued."""
        return signing.issue(self.draft, the_approver(), at=APPROVED_AT, decision="approved")

    @cached_property
    def packed(self) -> bytes:
        """The evidence pack."""
        return pack.build_pack(self.papers)


@cache
def _revision(number_text: str, revision_number: int) -> Revision:
    return Revision(number_text, revision_number)


def revision_of(number_text: str = "1042", revision_number: int = 1) -> Revision:
    """The revision of that number, one per run."""
    return _revision(number_text, revision_number)


@cache
def picture() -> bytes:
    """A page of a few words with an embedded font."""
    pen = Pen(100.0, 30.0)
    pen.text(4.0, 16.0, "signed")
    pen.next_page()
    return pen.finish(title="", author="", producer="", issued_epoch_s=0.0)
