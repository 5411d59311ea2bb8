"""Signing, taking in and issuing that are stopped on the way: nothing half is left, and it goes again."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.progress import Stopped, Work, under
from tests.app.desk import making
from tests.app.desk.making import APPROVER, PASSPHRASE, Seat


def stopping_at_first_step() -> Work:
    """A person who presses Stop as soon as the first step is told."""
    made = Work(lambda _done, _count: made.stop())
    return made


def stopped() -> Work:
    made = Work(lambda _done, _count: None)
    made.stop()
    return made


def test_a_hand_in_that_is_stopped_between_pages_signs_nothing(tester: Seat, tmp_path: Path) -> None:
    job_id = making.complete_job(tester.desk)
    path = tmp_path / "out.signed"
    with pytest.raises(Stopped), under(stopping_at_first_step()):
        tester.desk.hand_in(job_id, PASSPHRASE, APPROVER, path)

    view = tester.desk.view(job_id)
    assert (view.job.state, view.revisions, view.read_only_reason) == ("being_tested", (), None)
    assert (list(tester.store.attachments(job_id)), path.exists()) == ([], False)


def test_a_hand_in_that_was_stopped_goes_at_the_next_try(tester: Seat, tmp_path: Path) -> None:
    job_id = making.complete_job(tester.desk)
    with pytest.raises(Stopped), under(stopping_at_first_step()):
        tester.desk.hand_in(job_id, PASSPHRASE, APPROVER, tmp_path / "out.signed")
    tester.desk.hand_in(job_id, PASSPHRASE, APPROVER, tmp_path / "out.signed")

    assert tester.desk.view(job_id).job.state == "handed_in"
    assert (tmp_path / "out.signed").exists()


def test_a_signed_job_that_is_stopped_is_not_here(approver: Seat, handed_in: tuple[str, Path]) -> None:
    before = len(approver.store.events())
    with pytest.raises(Stopped), under(stopped()):
        approver.desk.take_in(handed_in[1])

    assert (approver.desk.jobs(), len(approver.store.events())) == ([], before)


def test_an_issue_that_is_stopped_leaves_the_job_as_it_was_decided(approver: Seat, waiting: str) -> None:
    (line,) = approver.desk.exceptions(waiting)
    approver.desk.decide(waiting, line.key, "concession", "lead known", "until the next outage")
    approver.desk.approve(waiting, PASSPHRASE)
    before = len(approver.store.events())
    with pytest.raises(Stopped), under(stopped()):
        approver.desk.issue(waiting, PASSPHRASE)

    assert approver.desk.view(waiting).job.state == "approved"
    assert len(approver.store.events()) == before
