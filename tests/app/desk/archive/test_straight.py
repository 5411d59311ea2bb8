"""A draft or a signed job goes straight to the archive and is taken in from the folder of the office."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.desk import Refusal
from app.desk.archive.dropping import Dropped
from app.desk.archive.intake import Intake
from app.desk.folder import folder_of, waiting_in
from app.jobstore.archive import ArchiveProblem
from tests.app.desk import making
from tests.app.desk.archive.conftest import Office, carry
from tests.app.desk.making import Seat


@pytest.fixture
def shared(tmp_path: Path, approver: Seat) -> Path:
    (tmp_path / "shared").mkdir()
    approver.desk.settings.change(exchange_folder_text=str(tmp_path / "shared"))
    return tmp_path / "shared"


@pytest.fixture
def laptop(tester: Seat, office: Office) -> Seat:
    """The tester's computer, on the network of the office."""
    tester.desk.settings.change(archive_place_text=office.place_text)
    return tester


def take_in_at(office: Office, seat: Seat, folder: Path) -> Intake:
    dropped = Dropped(office.archive, folder, folder.parent / "taken.json", clock=office.clock)
    return Intake(
        office.archive, trust=seat.desk.trust(), key=office.key, clock=office.clock, pass_on=dropped.pass_on
    )


def test_a_job_handed_in_is_taken_in_at_the_office_by_way_of_the_archive(
    laptop: Seat, approver: Seat, handed_in: tuple[str, Path], office: Office, shared: Path
) -> None:
    path = laptop.desk.send_to_folder(handed_in[0])
    assert [line.file for line in carry(laptop)] == [path]

    taken = take_in_at(office, approver, shared).run()
    assert (taken.filed_count, taken.passed_on_count, taken.left_count) == (0, 1, 0)
    assert carry(laptop) == []
    assert not path.exists()

    folder = folder_of(approver.desk.settings)
    assert folder is not None
    waiting_in(folder)
    (one,) = waiting_in(folder)
    assert one.kind == "signed job"
    approver.desk.take_in(one.path)
    folder.put_away(one)
    assert approver.store.load(handed_in[0]).readings == laptop.store.load(handed_in[0]).readings
    assert take_in_at(office, approver, shared).run().passed_on_count == 0
    assert waiting_in(folder) == []


def test_an_open_job_goes_as_a_draft(laptop: Seat, approver: Seat, office: Office, shared: Path) -> None:
    job_id = making.complete_job(laptop.desk)
    laptop.desk.send_to_folder(job_id)
    carry(laptop)

    assert take_in_at(office, approver, shared).run().passed_on_count == 1
    (path,) = shared.glob("*.json")
    assert approver.desk.take_in(path).view.job.job_id == job_id


def test_without_a_folder_it_waits_in_the_archive_and_files_behind_it_are_filed(
    laptop: Seat, approver: Seat, office: Office, shared: Path
) -> None:
    laptop.desk.send_to_folder(making.complete_job(laptop.desk))
    carry(laptop)
    taken = office.intake(approver.desk.trust()).run()

    assert (taken.passed_on_count, taken.left_count) == (0, 1)
    assert "1 file waits for the folder" in taken.text
    assert len(carry(laptop)) == 1
    shared.rmdir()
    assert take_in_at(office, approver, shared).run().left_count == 1
    shared.mkdir()
    assert take_in_at(office, approver, shared).run().passed_on_count == 1


def test_what_waits_survives_an_archive_that_is_not_reached_and_a_new_start(
    laptop: Seat, office: Office, tmp_path: Path
) -> None:
    job_id = making.complete_job(laptop.desk)
    path = laptop.desk.send_to_folder(job_id)
    laptop.desk.settings.change(archive_place_text="postgresql://nobody@127.0.0.1:9/none")
    with pytest.raises(ArchiveProblem, match="kept"):
        carry(laptop)
    laptop.desk.settings.change(archive_place_text=office.place_text)
    laptop.store.close()
    again = making.sit_down(laptop.folder, office.clock)

    assert [(line.job_id, line.file) for line in again.desk.archive_queue()] == [(job_id, path)]
    again.close()


def test_what_the_office_refuses_waits_on_with_the_reason(
    laptop: Seat, approver: Seat, office: Office, shared: Path
) -> None:
    path = laptop.desk.send_to_folder(making.complete_job(laptop.desk))
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    carry(laptop)
    take_in_at(office, approver, shared).run()

    (line,) = carry(laptop)
    assert (line.state, line.file) == ("refused", path)
    assert line.state_text


def test_without_folder_and_archive_and_for_what_is_issued_it_is_said_why(
    tester: Seat, approver: Seat, waiting: str, issued: Path, office: Office
) -> None:
    tester.desk.settings.change(archive_place_text="")
    with pytest.raises(Refusal, match="No exchange folder is named"):
        tester.desk.send_to_folder(waiting)
    with pytest.raises(Refusal, match="goes to the archive by itself"):
        approver.desk.send_to_folder(waiting)
