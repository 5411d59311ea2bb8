from __future__ import annotations

import dataclasses
import hashlib

import pytest

from app.record import cms, pack, papers, sheet_files, sheet_signing
from app.record.verdict import Verdict
from app.record.verify import verify_bytes
from tests.app.record.signed_scene import APPROVED_AT, TESTED_AT, revision_of, the_approver, the_tester, trust
from tests.faults.altering.hands import checked, countersigned, reissued, repacked

ITS = revision_of()


def reissued_with(**files: bytes) -> Verdict:
    """A pack with other files in it, whose approver issued just these."""
    given = dataclasses.replace(ITS.papers, **files)
    return checked(reissued(given, the_approver(), files=papers.digests(given)))


def sentences(verdict: Verdict) -> str:
    return " ".join(verdict.sentences)


def test_a_record_without_signature_cannot_be_told() -> None:
    assert "carries no signature" in sentences(checked(repacked(tested=None)))


def test_an_issue_in_another_form_is_altered_however_it_is_signed() -> None:
    data = b'{"format":"coreleaf-issued","version":1}'
    given = dataclasses.replace(
        ITS.papers,
        issued=data,
        issued_signature=cms.sign(data, the_approver(), meaning="issued", at=APPROVED_AT),
    )

    assert "not in the form" in sentences(checked(pack.build_pack(given)))


def test_a_file_that_the_issue_does_not_name_was_put_in() -> None:
    given = dataclasses.replace(ITS.papers)
    files = {name: one for name, one in papers.digests(given).items() if name != "README.txt"}

    verdict = checked(reissued(given, the_approver(), files=files))

    assert verdict.outcome == "altered"
    assert "README.txt was not issued" in sentences(verdict)


def test_a_file_that_the_issue_names_and_that_is_not_there_is_missing() -> None:
    verdict = checked(repacked(events=None))

    assert verdict.outcome == "cannot tell"
    assert "events.json is missing" in sentences(verdict)


def test_an_issue_that_leaves_out_the_record_covers_nothing() -> None:
    verdict = checked(reissued(ITS.papers, the_approver(), files={}))

    assert "record.json is not the file that was issued" in sentences(verdict)


def test_a_pack_whose_sheet_is_none_of_ours_is_not_genuine() -> None:
    assert reissued_with(sheet=ITS.pages).outcome == "cannot tell"


def test_a_sheet_of_another_record_is_altered_even_where_it_was_issued() -> None:
    assert "of another record" in sentences(reissued_with(sheet=revision_of("7781").sheet))


def test_a_sheet_without_approval_is_altered_even_where_it_was_issued() -> None:
    assert "not signed by those" in sentences(reissued_with(sheet=ITS.certified))


def test_a_sheet_with_other_concessions_than_the_issue_is_altered() -> None:
    other = countersigned(ITS.certified, the_approver(), name_text="Somebody else")

    assert "block of the approval" in sentences(reissued_with(sheet=other))


def test_a_lone_sheet_without_its_record_cannot_be_told() -> None:
    pages = ITS.pages_with(sheet_files.Attached("other", b"", "text/plain", ""))
    sheet = sheet_signing.certify(pages, the_tester(), at=TESTED_AT)

    verdict = verify_bytes(countersigned(sheet, the_approver()), trust=trust())

    assert verdict.outcome == "cannot tell"
    assert "not attached" in sentences(verdict)


@pytest.mark.parametrize("data", [b"", b"no list"])
def test_a_list_of_people_that_is_none_changes_no_outcome(data: bytes) -> None:
    verdict = checked(repacked(register=data))

    assert verdict.outcome == "genuine"
    assert "was not used" in sentences(verdict)


def test_a_signature_without_a_time_was_made_for_something_else() -> None:
    """The container of a PDF signature, moved to the record."""
    digest = hashlib.sha256(ITS.record).digest()
    moved = cms.sign_digest(digest, the_tester(), meaning="tested", at=None)

    verdict = checked(repacked(tested=moved))

    assert verdict.outcome == "altered"
    assert "it has no time" in sentences(verdict)
