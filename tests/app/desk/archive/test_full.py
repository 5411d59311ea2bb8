"""The disk of the archive is full: the laptop keeps what it has, says so in one sentence, and goes on later.

A small disk of its own is made in memory, which wants the rights of the system's keeper.
"""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from app.jobstore.archive import ArchiveProblem
from tests.app.desk.archive.conftest import Office, carry
from tests.app.desk.making import Seat
from tests.postgresql import Server

_SIZE = "48m"


@pytest.fixture
def small_disk(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Path]:
    """A disk of 48 MB; the server's own user can reach it where it is for the server."""
    folder = tmp_path / "disk"
    if "postgresql" in request.node.name:
        folder = request.getfixturevalue("server").folder / "disk"
    folder.mkdir()
    made = ["mount", "-t", "tmpfs", "-o", f"size={_SIZE}", "small", str(folder)]
    if subprocess.run(made, check=False, capture_output=True).returncode:
        folder.rmdir()
        pytest.skip("this machine lets nobody make a small disk")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)
    folder.rmdir()


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, small_disk: Path) -> Iterator[str]:
    """An archive on the small disk."""
    if request.param == "sqlite":
        yield str(small_disk / "archive.sqlite")
        return
    server: Server = request.getfixturevalue("server")
    inside = small_disk / "tables"
    inside.mkdir()
    with suppress(LookupError, PermissionError):
        shutil.chown(inside, "postgres", "postgres")
    server.sql(f"CREATE TABLESPACE small LOCATION '{inside}'")
    server.sql("CREATE DATABASE on_a_small_disk TABLESPACE small")
    yield server.address("on_a_small_disk")
    server.sql("DROP DATABASE on_a_small_disk WITH (FORCE)")
    server.sql("DROP TABLESPACE small")


def fill(disk: Path) -> Path:
    """Take all the room that is left; the file that took it."""
    filler = disk / "filler"
    with suppress(OSError), filler.open("wb", buffering=0) as stream:
        while stream.write(bytes(4096)):
            pass
    return filler


def test_the_laptop_keeps_its_queue_and_arrives_once_there_is_room(
    approver: Seat, issued: Path, office: Office, small_disk: Path
) -> None:
    filler = fill(small_disk)
    with pytest.raises(ArchiveProblem) as caught:
        carry(approver)
    assert caught.value.sentence.startswith("Everything on this computer is kept and waits. The disk of ")
    assert " is full " in caught.value.sentence
    assert len(approver.desk.archive_queue()) == 1
    assert office.archive.waiting_count() == 0

    filler.unlink()
    assert len(carry(approver)) == 1
    assert office.intake(approver.desk.trust()).run().filed_count == 1
    assert carry(approver) == []
    assert office.archive.size() == 1


def test_an_intake_without_room_files_nothing_by_halves_and_all_of_it_later(
    approver: Seat, issued: Path, office: Office, small_disk: Path
) -> None:
    carry(approver)
    filler = fill(small_disk)
    with pytest.raises(ArchiveProblem, match=" is full ") as caught:
        office.intake(approver.desk.trust()).run()
    assert not caught.value.reachable
    assert (office.archive.size(), office.archive.waiting_count()) == (0, 1)

    filler.unlink()
    assert office.intake(approver.desk.trust()).run().filed_count == 1
    assert (office.archive.size(), office.archive.waiting_count()) == (1, 0)
