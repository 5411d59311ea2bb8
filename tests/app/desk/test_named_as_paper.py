"""A document that bears the name of a signed sheet is never taken for that sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.record.sheet_reading import read
from tests.app.desk import making
from tests.app.desk.making import APPROVER, PASSPHRASE, Seat

FALSE = b"%PDF-1.7 not what was signed"


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
