"""Ways with the papers of a pack."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Callable

from app.record import cms, pack, papers, signed_job, trail
from app.record.act import Event
from app.record.canonical import canonical
from app.record.certificates import pem_of
from app.record.verdict import Outcome, Verdict
from tests.app.record.signed_scene import (
    TESTED_AT,
    events,
    office,
    person,
    revision_of,
    the_approver,
    the_tester,
)
from tests.faults.altering.hands import checked, reissued, repacked


def record_with_a_doubled_name() -> Verdict:
    record = revision_of().record.replace(b'"revision":1', b'"revision":1,"revision":1')
    return checked(repacked(record=record))


def record_in_another_form_signed() -> Verdict:
    """Other spellings, properly signed by who declared: still not the one form."""
    its = revision_of()
    record = json.dumps(json.loads(its.record), indent=1).encode()
    return checked(
        repacked(record=record, tested=cms.sign(record, the_tester(), meaning="tested", at=TESTED_AT))
    )


def record_of_a_newer_program() -> Verdict:
    record = canonical({**json.loads(revision_of().record), "version": 2})
    job = signed_job.SignedJob(
        record=record, tested=cms.sign(record, the_tester(), meaning="tested", at=TESTED_AT)
    )
    return checked(signed_job.to_bytes(job))


def record_of_another_job() -> Verdict:
    other = revision_of("7781")
    return checked(repacked(record=other.record, tested=other.tested))


def issue_replayed() -> Verdict:
    other = revision_of("7781").papers
    return checked(repacked(issued=other.issued, issued_signature=other.issued_signature))


def issue_of_the_earlier_revision() -> Verdict:
    older, newer = revision_of().papers, revision_of(revision_number=2).papers
    given = dataclasses.replace(newer, issued=older.issued, issued_signature=older.issued_signature)
    return checked(pack.build_pack(given))


def revision_renumbered() -> Verdict:
    issued = (revision_of().papers.issued or b"").replace(b'"revision":1', b'"revision":2')
    return checked(repacked(issued=issued))


def revision_renumbered_by_the_approver() -> Verdict:
    return checked(reissued(revision_of().papers, the_approver(), revision=2))


def issued_by_somebody_else() -> Verdict:
    other = person("F. Further", "p-further", ("approver",))
    return checked(reissued(revision_of().papers, other))


def issue_names_other_people() -> Verdict:
    told = dataclasses.replace(
        papers.from_bytes(revision_of().papers.issued or b"").tested, name_text="G. Ghost"
    )
    return checked(reissued(revision_of().papers, the_approver(), tested=told))


def concessions_differ_from_the_sheet() -> Verdict:
    return checked(reissued(revision_of().papers, the_approver(), concessions_text="None at all"))


def issue_missing() -> Verdict:
    return checked(repacked(issued=None, issued_signature=None))


def approval_missing() -> Verdict:
    return checked(repacked(approved=None))


def sheet_missing() -> Verdict:
    return checked(repacked(sheet=None))


def readme_altered() -> Verdict:
    return checked(repacked(readme=b"Trust me."))


def certificate_of_another_office_put_in() -> Verdict:
    return checked(repacked(office=pem_of(office("Foreign Office").certificate.der)))


def event_dropped_and_issued() -> Verdict:
    """The approver issues events that do not lead to the head that the record was signed with."""
    return _issued_with_events(trail.to_bytes(_chain_rewritten()))


def event_altered_and_issued() -> Verdict:
    altered = trail.to_bytes(events()).replace(b"freeze", b"thaws!")
    return _issued_with_events(altered)


def events_altered() -> Verdict:
    return checked(repacked(events=trail.to_bytes(events()[:2])))


def _issued_with_events(data: bytes) -> Verdict:
    given = dataclasses.replace(revision_of().papers, events=data)
    return checked(reissued(given, the_approver(), files=papers.digests(given)))


def _chain_rewritten() -> list[Event]:
    from app.record.chain import next_event

    first, freeze, hand_in = events()
    other = next_event(
        freeze.prev, freeze.n, freeze.device_id, dataclasses.replace(freeze.act, person_name_text="H. Hidden")
    )
    return [first, other, next_event(other.head, hand_in.n, hand_in.device_id, hand_in.act)]


def unspoiled_pack() -> Verdict:
    return checked(revision_of().packed)


WAYS: dict[Outcome, tuple[Callable[[], Verdict], ...]] = {
    "genuine": (unspoiled_pack,),
    "altered": (
        record_with_a_doubled_name,
        record_in_another_form_signed,
        record_of_another_job,
        issue_replayed,
        issue_of_the_earlier_revision,
        revision_renumbered,
        revision_renumbered_by_the_approver,
        issued_by_somebody_else,
        issue_names_other_people,
        concessions_differ_from_the_sheet,
        readme_altered,
        certificate_of_another_office_put_in,
        event_dropped_and_issued,
        event_altered_and_issued,
        events_altered,
    ),
    "cannot tell": (
        record_of_a_newer_program,
        issue_missing,
        approval_missing,
        sheet_missing,
    ),
}
