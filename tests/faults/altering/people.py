"""Ways with people: who signs, in which role, when, and who vouches for them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from app.record import cms
from app.record.certificates import pem_of
from app.record.people_keys import Unlocked
from app.record.trust import trust_of
from app.record.verdict import Outcome, Verdict
from tests.app.record.signed_scene import (
    APPROVED_AT,
    APPROVER_ID,
    MADE,
    TESTED_AT,
    TESTER_ID,
    key_of,
    listed,
    office,
    person,
    revision_of,
    the_approver,
    the_tester,
)
from tests.faults.altering.hands import checked, repacked, whole_pack_by


def signer_swapped() -> Verdict:
    other = person("C. Other", "p-other", ("tester",))
    return checked(repacked(tested=cms.sign(revision_of().record, other, meaning="tested", at=TESTED_AT)))


def roles_swapped() -> Verdict:
    its = revision_of().papers
    return checked(repacked(tested=its.approved, approved=its.tested))


def signed_in_the_other_role() -> Verdict:
    return checked(whole_pack_by(the_approver(), the_tester()))


def same_person_twice() -> Verdict:
    both = person("A. Tester", TESTER_ID, ("tester", "approver"))
    return checked(whole_pack_by(both, both))


def same_person_under_a_second_key() -> Verdict:
    again = person("A. Tester", TESTER_ID, ("approver",), key_name="second key of A. Tester")
    return checked(whole_pack_by(the_tester(), again))


def certificate_expired() -> Verdict:
    return checked(whole_pack_by(the_tester(), the_approver(), at=MADE + dt.timedelta(days=1000)))


def signed_before_the_certificate() -> Verdict:
    late = person("B. Approver", APPROVER_ID, ("approver",), at=APPROVED_AT + dt.timedelta(days=1))
    return checked(whole_pack_by(the_tester(), late))


def ended_before_signing() -> Verdict:
    ended = {APPROVER_ID: TESTED_AT}
    by = trust_of([pem_of(office().certificate.der)], [listed(number=2, ended=ended)])
    return checked(revision_of().packed, by=by)


def ended_after_signing() -> Verdict:
    ended = {APPROVER_ID: APPROVED_AT + dt.timedelta(days=1)}
    by = trust_of([pem_of(office().certificate.der)], [listed(number=2, ended=ended)])
    return checked(revision_of().packed, by=by)


def old_list_put_back() -> Verdict:
    """The list in the pack is older than the one known here, which ended the approver."""
    by = trust_of([pem_of(office().certificate.der)], [listed(number=9, ended={APPROVER_ID: TESTED_AT})])
    return checked(repacked(register=listed(number=1)), by=by)


def list_of_another_office() -> Verdict:
    return checked(repacked(register=listed(by="Foreign Office")))


def list_altered() -> Verdict:
    data = (revision_of().papers.register or b"").replace(b"A. Tester", b"A. Wester")
    return checked(repacked(register=data))


def not_in_the_list() -> Verdict:
    stranger = person("D. Stranger", "p-stranger", ("approver",))
    return checked(whole_pack_by(the_tester(), stranger))


def foreign_office() -> Verdict:
    by = trust_of([pem_of(office("Foreign Office").certificate.der)])
    return checked(revision_of().packed, by=by)


def foreign_office_of_the_same_name() -> Verdict:
    """An office that gave itself the name of ours enrolled an approver."""
    from app.record import certificates
    from app.record.certificates import certificate_of

    subject, private = certificates.office_subject("Invented Test Office"), key_of("false office")
    made = certificates.issue(
        certificates.subject_of("B. Approver", APPROVER_ID, ("approver",)),
        key_of("false approver").public_key(),
        issuer=subject,
        by=private,
        at=MADE,
        years=2,
    )
    return checked(whole_pack_by(the_tester(), Unlocked(certificate_of(made), key_of("false approver"))))


def enrolled_by_a_colleague() -> Verdict:
    """Somebody whom the office enrolled plays office."""
    from app.record import certificates
    from app.record.certificates import certificate_of

    made = certificates.issue(
        certificates.subject_of("E. Guest", "p-guest", ("approver",)),
        key_of("guest").public_key(),
        issuer=certificates.load_x509(the_tester().certificate.der).subject,
        by=the_tester().private,
        at=MADE,
        years=2,
    )
    return checked(whole_pack_by(the_tester(), Unlocked(certificate_of(made), key_of("guest"))))


def self_signed_unknown() -> Verdict:
    return checked(whole_pack_by(the_tester(), person("B. Approver", "p-alone", (), by="", key_name="alone")))


WAYS: dict[Outcome, tuple[Callable[[], Verdict], ...]] = {
    "genuine": (
        ended_after_signing,
        list_of_another_office,
        list_altered,
    ),
    "altered": (
        signer_swapped,
        roles_swapped,
        signed_in_the_other_role,
        same_person_twice,
        same_person_under_a_second_key,
    ),
    "cannot tell": (
        certificate_expired,
        signed_before_the_certificate,
        ended_before_signing,
        old_list_put_back,
        not_in_the_list,
        foreign_office,
        foreign_office_of_the_same_name,
        enrolled_by_a_colleague,
        self_signed_unknown,
    ),
}
