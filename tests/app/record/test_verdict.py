from __future__ import annotations

import pytest

from app.record.problem import Altered, CannotTell
from app.record.verdict import NO_PROGRAM_CAN_KNOW, Inquiry, Outcome, Signer, as_plain


def found(*problems: Altered | CannotTell) -> Inquiry:
    inquiry = Inquiry()
    for problem in problems:
        inquiry.put(problem)
    return inquiry


def test_nothing_against_it_is_genuine_and_says_what_no_program_knows() -> None:
    verdict = found().verdict("all of it.")

    assert verdict.outcome == "genuine"
    assert verdict.sentences == ("Genuine: all of it.", NO_PROGRAM_CAN_KNOW)


def test_altered_outweighs_what_is_missing() -> None:
    verdict = found(CannotTell("A file is missing."), Altered("The record differs.")).verdict("all of it.")

    assert verdict.outcome == "altered"
    assert verdict.sentences == ("Altered: The record differs.", "A file is missing.")


def test_a_sentence_is_said_once() -> None:
    assert found(CannotTell("A."), CannotTell("A.")).verdict("").sentences == ("Cannot tell: A.",)


@pytest.mark.parametrize(("outcome", "code"), [("genuine", 0), ("altered", 1), ("cannot tell", 2)])
def test_each_outcome_has_its_exit_code(outcome: Outcome, code: int) -> None:
    problems = {"genuine": [], "altered": [Altered("A.")], "cannot tell": [CannotTell("B.")]}

    assert found(*problems[outcome]).verdict("").exit_code == code


def test_who_signed_the_same_twice_is_named_once() -> None:
    inquiry = Inquiry()
    inquiry.signed(Signer(name_text="A. Tester", meaning="tested", at_utc="", fingerprint=""))
    inquiry.signed(Signer(name_text="A. Tester", meaning="tested", at_utc="later", fingerprint=""))

    assert len(inquiry.verdict("").signers) == 1


def test_a_verdict_is_plain_for_json() -> None:
    inquiry = Inquiry(details={"number": "1042"})

    assert as_plain(inquiry.verdict("x"))["details"] == {"number": "1042"}
