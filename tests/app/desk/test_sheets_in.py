"""A sheet opened as a job again: from a draft, a frozen and an issued one; nothing unproved is taken."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from app.desk import Change, Desk, Refusal
from app.exchange.problem import JobFileProblem
from tests.app.desk.making import Seat


@pytest.fixture
def drafted(desk: Desk, job_id: str, key_point: Callable[[str, str, str], Change], tmp_path: Path) -> Path:
    """The draft sheet of a job with one point keyed."""
    key_point("1", "20", "3.4")
    return desk.sheet(job_id, tmp_path / "draft.pdf")


def test_a_draft_opens_as_a_job_on_another_desk(
    desk: Desk, job_id: str, approver: Seat, drafted: Path
) -> None:
    change = approver.desk.take_in(drafted)

    assert change.view.job == desk.view(job_id).job
    assert approver.store.load(job_id).readings == desk.view(job_id).job.readings
    assert approver.store.events(job_id)[-1].act.where["file"] == "draft.pdf"


def test_a_job_that_is_here_already_is_opened_as_it_stands(
    desk: Desk, job_id: str, key_point: Callable[[str, str, str], Change], drafted: Path
) -> None:
    key_point("2", "40", "5.7")
    change = desk.take_in(drafted)

    assert "is here already" in change.note_text
    assert len(change.view.job.readings) == 4


def test_a_frozen_sheet_opens_without_its_revision(
    desk: Desk, job_id: str, approver: Seat, drafted: Path, tmp_path: Path
) -> None:
    desk.freeze(job_id)
    change = approver.desk.take_in(desk.sheet(job_id, tmp_path / "frozen.pdf"))

    assert change.view.revisions == ()
    assert change.view.job.readings == desk.view(job_id).job.readings


def test_the_sheet_as_it_was_tested_is_not_taken_without_its_approval(
    tester: Seat, approver: Seat, handed_in: tuple[str, Path], tmp_path: Path
) -> None:
    sheet = tester.desk.sheet(handed_in[0], tmp_path / "tested.pdf")

    with pytest.raises(Refusal, match=r'"approved by" is missing.*Nothing was taken in'):
        approver.desk.take_in(sheet)
    assert approver.store.jobs() == []


def test_a_stamped_sheet_changes_nothing(
    tester: Seat, approver: Seat, handed_in: tuple[str, Path], tmp_path: Path
) -> None:
    sheet = tester.desk.sheet(handed_in[0], tmp_path / "tested.pdf")
    sheet.write_bytes(sheet.read_bytes() + b"\n% stamp\n")

    with pytest.raises(Refusal, match=r"added to the sheet after it was signed.*Nothing was taken in"):
        approver.desk.take_in(sheet)
    assert approver.store.jobs() == []


def test_a_pdf_of_another_make_is_refused(approver: Seat, tmp_path: Path) -> None:
    (tmp_path / "other.pdf").write_bytes(b"%PDF-1.7\n%%EOF\n")

    with pytest.raises(JobFileProblem, match="no sheet of this program"):
        approver.desk.take_in(tmp_path / "other.pdf")


def test_another_paper_is_a_choice_of_each_issue(desk: Desk, job_id: str, tmp_path: Path) -> None:
    letter = desk.sheet(job_id, tmp_path / "letter.pdf", paper="Letter").read_bytes()
    as_asked = desk.sheet(job_id, tmp_path / "own.pdf").read_bytes()

    assert b"/MediaBox [ 0 0 612 792 ]" in letter
    assert b"/MediaBox [ 0 0 612 792 ]" not in as_asked


def test_a_signed_sheet_keeps_its_paper(tester: Seat, handed_in: tuple[str, Path], tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="signed on another paper"):
        tester.desk.sheet(handed_in[0], tmp_path / "letter.pdf", paper="Letter")
    assert not (tmp_path / "letter.pdf").exists()
