from __future__ import annotations

import dataclasses
import datetime as dt
import json

import pytest

from app.record import papers, signing
from app.record.canonical import canonical
from app.record.people_keys import Unlocked
from app.record.problem import Altered, SigningProblem
from tests.app.record.signed_scene import (
    APPROVED_AT,
    APPROVER_ID,
    MADE,
    TESTED_AT,
    TESTER_ID,
    person,
    revision_of,
    the_approver,
    the_tester,
)

ITS = revision_of()


def test_a_key_that_is_not_enrolled_yet_signs_all_the_same() -> None:
    alone = person("A. Tester", TESTER_ID, (), by="")

    assert signing.sign_tested(ITS.record, alone, at=TESTED_AT)


def test_who_did_not_declare_does_not_sign_as_tested() -> None:
    other = person("C. Other", "p-other", ("tester",))

    with pytest.raises(SigningProblem, match=r"A\. Tester declared this record"):
        signing.sign_tested(ITS.record, other, at=TESTED_AT)


def test_what_is_no_record_is_not_signed() -> None:
    with pytest.raises(SigningProblem, match="cannot be read"):
        signing.sign_tested(b"{}", the_tester(), at=TESTED_AT)


def test_nobody_signs_in_a_role_that_the_office_did_not_give() -> None:
    with pytest.raises(SigningProblem, match="not enrolled as approver"):
        signing.sign_approved(
            ITS.record, ITS.tested, person("C. Other", "p-other", ("tester",)), at=APPROVED_AT
        )


@pytest.mark.parametrize("days", [-1, 731])
def test_nobody_signs_with_a_certificate_that_is_not_in_force(days: int) -> None:
    with pytest.raises(SigningProblem, match="in force from"):
        signing.sign_tested(ITS.record, the_tester(), at=MADE + dt.timedelta(days=days))


@pytest.mark.parametrize(
    "key",
    [
        person("A. Tester", TESTER_ID, ("approver",), key_name="second key"),
        person("C. Double", "p-double", ("approver",), key_name="A. Tester"),
    ],
    ids=["same number", "same key"],
)
def test_who_tested_does_not_approve(key: Unlocked) -> None:
    with pytest.raises(SigningProblem, match="somebody else has to approve"):
        signing.sign_approved(ITS.record, ITS.tested, key, at=APPROVED_AT)


def test_what_is_not_signed_as_tested_is_not_approved() -> None:
    with pytest.raises(SigningProblem, match="not signed as tested"):
        signing.sign_approved(ITS.record, ITS.approved, the_approver(), at=APPROVED_AT)


def test_what_was_altered_since_is_not_approved() -> None:
    with pytest.raises(SigningProblem, match="no longer matches"):
        signing.sign_approved(ITS.record, revision_of("7781").tested, the_approver(), at=APPROVED_AT)


@pytest.mark.parametrize("field", ["tested", "approved", "sheet"])
def test_nothing_is_issued_without_all_of_it(field: str) -> None:
    with pytest.raises(SigningProblem, match="are needed"):
        signing.issue(
            dataclasses.replace(ITS.draft, **{field: None}),
            the_approver(),
            at=APPROVED_AT,
            decision="approved",
        )


def test_somebody_else_than_who_approved_does_not_issue() -> None:
    other = person("F. Further", "p-further", ("approver",))

    with pytest.raises(SigningProblem, match="with the same key"):
        signing.issue(ITS.draft, other, at=APPROVED_AT, decision="approved")


def test_an_issue_holds_decision_and_concessions() -> None:
    made = signing.issue(
        ITS.draft,
        the_approver(),
        at=APPROVED_AT,
        decision="approved with concessions",
        concessions_text="Core 2 without its curve.",
    )

    issued = papers.from_bytes(made.issued or b"")
    assert (issued.decision, issued.concessions_text) == (
        "approved with concessions",
        "Core 2 without its curve.",
    )


def test_a_record_is_sent_back_with_its_reason() -> None:
    answer = signing.sign_sent_back(
        ITS.record, ITS.tested, the_approver(), at=APPROVED_AT, reason_text=" Ratio of L2 again. "
    )

    reason, signature = signing.reason_sent_back(ITS.record, *answer)

    assert (reason, signature.certificate.person_id) == ("Ratio of L2 again.", APPROVER_ID)


def test_nothing_is_sent_back_without_a_reason() -> None:
    with pytest.raises(SigningProblem, match="has a reason"):
        signing.sign_sent_back(ITS.record, ITS.tested, the_approver(), at=APPROVED_AT, reason_text=" ")


def test_an_answer_to_another_record_is_not_taken() -> None:
    answer = signing.sign_sent_back(
        ITS.record, ITS.tested, the_approver(), at=APPROVED_AT, reason_text="Again."
    )

    with pytest.raises(Altered, match="another record"):
        signing.reason_sent_back(revision_of("7781").record, *answer)


@pytest.mark.parametrize("data", [b"[]", b"{}", canonical({"format": signing.SENT_BACK_FORMAT}), b"no JSON"])
def test_an_answer_in_another_form_is_not_taken(data: bytes) -> None:
    from app.record import cms

    signature = cms.sign(data, the_approver(), meaning="sent back", at=APPROVED_AT)

    with pytest.raises(Altered, match="form"):
        signing.reason_sent_back(ITS.record, data, signature)


def test_an_approval_is_no_answer() -> None:
    from app.record import cms

    data, _ = signing.sign_sent_back(
        ITS.record, ITS.tested, the_approver(), at=APPROVED_AT, reason_text="Again."
    )
    signature = cms.sign(data, the_approver(), meaning="approved", at=APPROVED_AT)

    assert json.loads(data)["revision"] == 1
    with pytest.raises(Altered, match="another record"):
        signing.reason_sent_back(ITS.record, data, signature)
