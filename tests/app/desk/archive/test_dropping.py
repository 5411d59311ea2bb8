"""A laptop without a network leaves its pack in a folder; the office's process takes it from there."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.desk.archive.dropping import Dropped
from tests.app.desk.archive.conftest import Office, carry
from tests.app.desk.making import Seat


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "shared").mkdir()
    return tmp_path / "shared"


def dropped(office: Office, folder: Path) -> Dropped:
    return Dropped(
        office.archive, folder, folder.parent / "taken.json", clock=office.clock, wait=lambda _s: None
    )


def test_a_pack_from_a_folder_is_filed_and_put_away(
    approver: Seat, issued: Path, office: Office, folder: Path
) -> None:
    approver.desk.settings.change(exchange_folder_text=str(folder))
    (line,) = approver.desk.archive_queue()
    path = approver.desk.send_to_folder(line.job_id)
    its = dropped(office, folder)

    assert its.deposit() == []
    assert office.intake(approver.desk.trust()).run().filed_count == 1
    its.put_away()

    assert [one.name for one in (folder / "taken").iterdir()] == [path.name]
    assert carry(approver) == []


def test_a_pack_that_is_refused_stays_where_it_lies(
    approver: Seat, issued: Path, office: Office, folder: Path
) -> None:
    from app.record.trust import NOBODY

    path = folder / "issued.zip"
    (line,) = approver.desk.archive_queue()
    path.write_bytes(approver.desk.parcel_of(line).data)
    its = dropped(office, folder)
    its.deposit()
    office.intake(NOBODY).run()
    its.put_away()

    assert path.exists()


def test_half_a_pack_waits_and_a_folder_that_is_gone_is_one_sentence(office: Office, folder: Path) -> None:
    (folder / "half.zip").write_bytes(b"PK\x03\x04")
    its = dropped(office, folder)
    assert its.deposit() == []
    assert office.archive.waiting_count() == 0

    (folder / "half.zip").unlink()
    folder.rmdir()
    assert "connect the share" in its.deposit()[0]
