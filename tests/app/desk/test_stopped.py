"""Signing, taking in, issuing and writing that are stopped on the way: nothing half is left."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.desk.copies import CopyKeeper
from app.progress import Stopped, Work, under
from tests.app.desk import making
from tests.app.desk.making import APPROVER, PASSPHRASE, Seat


def stopping_at_first_step() -> Work:
    """A person who presses Stop as soon as the first step is told."""
    made = Work(lambda *_told: made.stop())
    return made


def stopped() -> Work:
    made = Work(lambda *_told: None)
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


def test_a_revision_that_is_stopped_is_not_frozen(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    before = len(tester.store.events(job_id))
    with pytest.raises(Stopped), under(stopped()):
        tester.desk.freeze(job_id)

    assert tester.desk.view(job_id).job.state == "being_tested"
    assert len(tester.store.events(job_id)) == before


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


def test_a_sheet_that_is_stopped_leaves_the_earlier_file_as_it_was(tester: Seat, tmp_path: Path) -> None:
    job_id = making.complete_job(tester.desk)
    path = tester.desk.sheet(job_id, tmp_path / "sheet.pdf")
    before, beside = path.read_bytes(), sorted(tmp_path.iterdir())
    tester.desk.key(job_id, making.ohms_cell(tester.desk, job_id), "2.20")
    write = tester.desk.sheet_writer(job_id, path)
    with pytest.raises(Stopped), under(stopping_at_first_step()):
        write()

    assert (path.read_bytes(), sorted(tmp_path.iterdir())) == (before, beside)
    write()
    assert path.read_bytes() != before


def test_a_signed_sheet_that_is_stopped_is_not_written(
    tester: Seat, handed_in: tuple[str, Path], tmp_path: Path
) -> None:
    with pytest.raises(Stopped), under(stopped()):
        tester.desk.sheet(handed_in[0], tmp_path / "sheet.pdf")
    assert not (tmp_path / "sheet.pdf").exists()


def test_field_forms_that_are_stopped_leave_no_file_and_no_number_in_the_trail(
    tester: Seat, tmp_path: Path
) -> None:
    job_id = making.complete_job(tester.desk)
    before = len(tester.store.events(job_id))
    with pytest.raises(Stopped), under(stopping_at_first_step()):
        tester.desk.field_forms(job_id, tmp_path / "forms.pdf")

    assert not (tmp_path / "forms.pdf").exists()
    assert len(tester.store.events(job_id)) == before


def test_a_job_file_and_a_draft_that_are_stopped_leave_the_earlier_file_as_it_was(
    tester: Seat, tmp_path: Path
) -> None:
    job_id = making.complete_job(tester.desk)
    path, before = tmp_path / "job.json", len(tester.store.events(job_id))
    path.write_bytes(b"earlier")
    with pytest.raises(Stopped), under(stopped()):
        tester.desk.export_job(job_id, path)
    with pytest.raises(Stopped), under(stopped()):
        tester.desk.hand_out(job_id, path)

    assert (path.read_bytes(), len(tester.store.events(job_id))) == (b"earlier", before)


def test_an_answer_that_is_stopped_sends_nothing_back(approver: Seat, waiting: str, tmp_path: Path) -> None:
    making.decide_all(approver, waiting, "sent_back", "the lead was loose")
    before = len(approver.store.events())
    with pytest.raises(Stopped), under(stopped()):
        approver.desk.send_back(waiting, PASSPHRASE, "once more", tmp_path / "back.signed")

    assert approver.desk.view(waiting).job.state == "handed_in"
    assert (len(approver.store.events()), (tmp_path / "back.signed").exists()) == (before, False)


def test_a_check_of_a_store_that_is_stopped_gives_no_verdict(approver: Seat, waiting: str) -> None:
    with pytest.raises(Stopped), under(stopped()):
        approver.desk.check(approver.store.path)


def test_a_copy_that_is_stopped_on_its_way_back_leaves_the_folder_as_it_was(
    approver: Seat, waiting: str
) -> None:
    settings = approver.desk.settings
    settings.change(store_name_text=approver.store.path.name)
    settings.folder = approver.store.path.parent
    keeper = CopyKeeper(settings)
    copy = keeper.make().lines[0].path
    before = sorted(approver.folder.rglob("*"))
    with pytest.raises(Stopped), under(stopping_at_first_step()):
        keeper.bring_back(copy)

    assert sorted(approver.folder.rglob("*")) == before
    assert keeper.bring_back(copy).exists()
