from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from app.record import certificates
from app.record.problem import Altered, CannotTell, KeyProblem
from app.record.trust import NOBODY, Trust, trust_in, trust_of
from tests.app.record.signed_scene import (
    APPROVED_AT,
    APPROVER_ID,
    MADE,
    listed,
    office,
    person,
    the_approver,
    the_tester,
    trust,
)

OFFICE = certificates.pem_of(office().certificate.der)


def approved_by(by: Trust) -> str:
    return by.standing(the_approver().certificate, meaning="approved", at=APPROVED_AT)


def test_an_enrolled_person_counts_in_the_role_and_by_the_list() -> None:
    assert approved_by(trust()) == (
        "B. Approver is enrolled by Invented Test Office, by its list of 4 May 2031 08:00 UTC."
    )


def test_without_a_list_it_is_said_that_an_end_would_not_be_known() -> None:
    assert "not known here" in approved_by(trust_of([OFFICE]))


def test_a_person_known_alone_counts() -> None:
    alone = person("A. Tester", "p1", (), by="").certificate
    by = trust_of([certificates.pem_of(alone.der)])

    assert "not by an office" in by.standing(alone, meaning="tested", at=APPROVED_AT)


def test_a_person_known_alone_counts_only_while_the_certificate_does() -> None:
    alone = person("A. Tester", "p1", (), by="").certificate
    by = trust_of([certificates.pem_of(alone.der)])

    with pytest.raises(CannotTell, match="was in force only from"):
        by.standing(alone, meaning="tested", at=MADE - dt.timedelta(days=1))


def test_a_role_that_the_office_did_not_give_does_not_count() -> None:
    with pytest.raises(CannotTell, match="not enrolled as approver"):
        trust().standing(the_tester().certificate, meaning="approved", at=APPROVED_AT)


def test_nobody_vouches_for_anybody_at_first() -> None:
    with pytest.raises(CannotTell, match="office unknown here"):
        approved_by(NOBODY)


def test_a_self_made_certificate_is_called_so() -> None:
    alone = person("A. Tester", "p1", (), by="").certificate

    with pytest.raises(CannotTell, match="made by its holder alone"):
        NOBODY.standing(alone, meaning="tested", at=APPROVED_AT)


def test_from_the_end_on_a_signature_does_not_count() -> None:
    by = trust_of([OFFICE], [listed(ended={APPROVER_ID: APPROVED_AT})])

    with pytest.raises(CannotTell, match=r"was ended by the office on 6 May 2031.*Left the office\."):
        approved_by(by)


def test_before_the_end_it_still_counts() -> None:
    by = trust_of([OFFICE], [listed(ended={APPROVER_ID: APPROVED_AT + dt.timedelta(seconds=1)})])

    assert "is enrolled" in approved_by(by)


def test_a_certificate_made_after_the_list_need_not_stand_in_it() -> None:
    late = person("C. Late", "p-late", ("approver",), at=MADE + dt.timedelta(days=1)).certificate

    assert "is enrolled" in trust().standing(late, meaning="approved", at=APPROVED_AT)


def test_a_certificate_made_before_the_list_has_to_stand_in_it() -> None:
    stranger = person("D. Stranger", "p-stranger", ("approver",)).certificate

    with pytest.raises(CannotTell, match="does not stand"):
        trust().standing(stranger, meaning="approved", at=APPROVED_AT)


def test_a_newer_list_takes_the_place_of_the_older() -> None:
    newer = trust().with_register(listed(number=2, ended={APPROVER_ID: MADE}))

    with pytest.raises(CannotTell):
        approved_by(newer)


def test_an_older_list_does_not_take_the_place_of_the_newer() -> None:
    by = trust_of([OFFICE], [listed(number=5, ended={APPROVER_ID: MADE})])

    assert by.with_register(listed(number=4)) == by


def test_a_list_of_an_unknown_office_is_refused() -> None:
    with pytest.raises(CannotTell, match="unknown here"):
        NOBODY.with_register(listed())


def test_the_right_office_of_several_is_found_for_a_list() -> None:
    foreign = certificates.pem_of(office("Foreign Office").certificate.der)

    by = trust_of([foreign + OFFICE], [listed()])

    assert [one.office_fingerprint for one in by.registers] == [office().certificate.fingerprint]


def test_an_altered_list_is_altered() -> None:
    with pytest.raises(Altered):
        trust().with_register(listed().replace(b"A. Tester", b"A. Wester"))


def test_trust_is_read_from_a_folder(tmp_path: Path) -> None:
    (tmp_path / "office-ca.pem").write_bytes(OFFICE)
    (tmp_path / "office-register.json").write_bytes(listed())

    assert trust_in(tmp_path) == trust()


def test_a_folder_that_is_not_there_trusts_nobody(tmp_path: Path) -> None:
    assert trust_in(tmp_path / "none") == NOBODY


def test_more_certificates_join_those_of_the_folder(tmp_path: Path) -> None:
    (tmp_path / "office.pem").write_bytes(OFFICE)

    assert trust_in(tmp_path / "none", more=[tmp_path / "office.pem"]).offices == (office().certificate,)


def test_a_certificate_in_der_is_taken_as_well() -> None:
    assert trust_of([office().certificate.der]).offices == (office().certificate,)


def test_what_is_no_certificate_is_refused() -> None:
    with pytest.raises(KeyProblem, match="no certificate"):
        trust_of([b"no certificate"])


def test_a_list_that_nobody_here_signed_is_refused_with_its_sentence() -> None:
    with pytest.raises(KeyProblem, match="another office"):
        trust_of([OFFICE], [listed(by="Foreign Office")])
