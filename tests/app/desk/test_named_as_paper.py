"""A document that bears the name of a signed sheet is never taken for that sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.desk.chains import StorePapers
from app.jobstore import StoreProblem
from app.record.sheet_reading import read
from tests.app.desk import making
from tests.app.desk.making import APPROVER, PASSPHRASE, Seat

FALSE = b"%PDF-1.7 not what was signed"


def broken(*_args: object, **_named: object) -> None:
    raise StoreProblem("Your readings are saved. The disk reported an error.")


@pytest.fixture(params=["revision-1-approved.pdf", "revision-1-tested.pdf"])
def sent(request: pytest.FixtureRequest, tester: Seat, tmp_path: Path) -> tuple[str, Path]:
    """A job with a document of that name attached to it, handed in."""
    job_id = making.complete_job(tester.desk)
    (tmp_path / request.param).write_bytes(FALSE)
    tester.desk.attach(job_id, tmp_path / request.param)
    path = tmp_path / "travels.json"
    tester.desk.hand_in(job_id, PASSPHRASE, APPROVER, path)
    return job_id, path


def test_what_is_shown_and_printed_is_what_was_signed(
    tester: Seat, sent: tuple[str, Path], tmp_path: Path
) -> None:
    written = tester.desk.sheet(sent[0], tmp_path / "shown.pdf").read_bytes()
    assert written != FALSE
    assert "record.json" in read(written).attached


def test_what_is_countersigned_elsewhere_is_what_was_signed(
    approver: Seat, sent: tuple[str, Path], tmp_path: Path
) -> None:
    approver.desk.take_in(sent[1])
    written = approver.desk.sheet(sent[0], tmp_path / "shown.pdf").read_bytes()
    assert written != FALSE
    assert "record.json" in read(written).attached


def test_a_signature_that_broke_off_leaves_no_sheet_to_a_revision_that_was_only_frozen(
    tester: Seat, monkeypatch: pytest.MonkeyPatch
) -> None:
    job_id = making.complete_job(tester.desk)
    monkeypatch.setattr(tester.store, "freeze", broken)
    with pytest.raises(StoreProblem):
        tester.desk.hand_in(job_id, PASSPHRASE, APPROVER)
    monkeypatch.undo()
    tester.desk.freeze(job_id)
    (papers,) = StorePapers(tester.store).papers()
    assert (papers.tested, papers.sheet) == (None, None)


def test_an_approval_that_broke_off_leaves_the_sheet_of_the_tester(
    approver: Seat, waiting: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    making.decide_all(approver, waiting, "concession", "lead known")
    before = approver.desk.sheet(waiting, tmp_path / "before.pdf").read_bytes()

    monkeypatch.setattr(approver.store, "append", broken)
    with pytest.raises(StoreProblem):
        approver.desk.approve(waiting, PASSPHRASE)
    monkeypatch.undo()
    approver.desk.close_job(waiting)
    assert approver.desk.sheet(waiting, tmp_path / "after.pdf").read_bytes() == before
    assert list(read(before).signatures)[-1].field == "TestedBy"
