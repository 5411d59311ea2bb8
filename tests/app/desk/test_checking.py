"""Files that are checked at a desk, on their own and against what this store knows."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.desk import Refusal
from tests.app.desk import making
from tests.app.desk.making import Seat


@pytest.fixture
def issued(approver: Seat, waiting: str, tmp_path: Path) -> Path:
    """The sheet of an issued job; its pack lies beside it."""
    (line,) = approver.desk.exceptions(waiting)
    approver.desk.decide(waiting, line.key, "concession", "lead known")
    approver.desk.approve(waiting, making.PASSPHRASE)
    approver.desk.issue(waiting, making.PASSPHRASE, tmp_path / "issued.zip")
    return approver.desk.sheet(waiting, tmp_path / "sheet.pdf")


def test_an_issued_sheet_is_held_against_the_issue_where_it_is_known(issued: Path, approver: Seat) -> None:
    verdict = approver.desk.check(issued)

    assert verdict.outcome == "genuine"
    assert {one.meaning for one in verdict.signers} == {"tested", "approved", "issued"}


def test_an_issued_sheet_is_genuine_where_nothing_is_known_but_the_people(issued: Path, tester: Seat) -> None:
    assert tester.desk.check(issued).outcome == "genuine"


def test_a_sheet_is_held_against_a_pack(issued: Path, tester: Seat, tmp_path: Path) -> None:
    assert tester.desk.check(issued, tmp_path / "issued.zip").outcome == "genuine"


def test_a_pack_that_is_not_there_is_said_before_anything_is_checked(
    issued: Path, tester: Seat, tmp_path: Path
) -> None:
    with pytest.raises(Refusal, match=r"other\.zip is not there"):
        tester.desk.check(issued, tmp_path / "other.zip")


def test_a_sheet_that_was_stamped_is_altered(issued: Path, approver: Seat) -> None:
    issued.write_bytes(issued.read_bytes() + b"\n% stamped\n")

    assert approver.desk.check(issued).outcome == "altered"


def test_the_own_store_is_checked_while_it_is_open(issued: Path, approver: Seat) -> None:
    assert approver.desk.check(approver.store.path).outcome == "genuine"


def test_the_store_of_another_computer_is_checked_by_reading_it(
    issued: Path, tester: Seat, approver: Seat
) -> None:
    assert tester.desk.check(approver.store.path).outcome == "genuine"


def test_what_is_no_file_of_ours_cannot_be_told(tester: Seat, tmp_path: Path) -> None:
    path = tmp_path / "letter.pdf"
    path.write_bytes(b"%PDF-1.7 nothing of ours")

    assert tester.desk.check(path).outcome == "cannot tell"
