from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from app.exchange import jobfile
from app.exchange.folder import Folder, FolderProblem
from app.record import draft
from app.record.draft import Draft
from ctcore.job import Header, Job

JOB = jobfile.to_bytes(Job(job_id="j1", header=Header(number_text="77")))
DRAFT = draft.to_bytes(Draft(from_text="A", job=JOB, events=b"[]"))


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "shared").mkdir()
    return tmp_path / "shared"


@pytest.fixture
def folder(home: Path, tmp_path: Path) -> Folder:
    return Folder(home, tmp_path / "remembered.json")


def looked(folder: Folder, times: int = 1) -> list[tuple[str, str, str]]:
    found = [folder.look(time.time) for _ in range(times)][-1]
    return [(one.path.name, one.kind, one.state) for one in found]


def test_a_file_is_ready_once_it_stood_still_and_can_be_read(home: Path, folder: Folder) -> None:
    (home / "a.json").write_bytes(JOB)
    (home / "b.json").write_bytes(DRAFT)
    (home / "notes.txt").write_text("not ours")

    assert looked(folder) == [("a.json", "unknown", "settling"), ("b.json", "unknown", "settling")]
    assert looked(folder) == [("a.json", "job file", "ready"), ("b.json", "draft", "ready")]


def test_a_half_copied_file_waits_and_is_ready_when_the_rest_came(home: Path, folder: Folder) -> None:
    (home / "a.json").write_bytes(DRAFT[: len(DRAFT) // 2])
    assert looked(folder, 2) == [("a.json", "unknown", "settling")]

    (home / "a.json").write_bytes(DRAFT)
    assert looked(folder) == [("a.json", "unknown", "settling")]
    assert looked(folder) == [("a.json", "draft", "ready")]


def test_one_that_never_becomes_whole_says_why(home: Path, folder: Folder) -> None:
    (home / "a.json").write_bytes(b"{")
    folder.look(lambda: 0.0)
    (one,) = folder.look(lambda: 1e12)

    assert one.state == "unreadable"
    assert "a.json" in one.said_text


def test_one_from_a_clock_that_is_years_ahead_says_why_too(home: Path, folder: Folder) -> None:
    (home / "a.json").write_bytes(b"{")
    os.utime(home / "a.json", (4e9, 4e9))
    folder.look(lambda: 1e9)
    (one,) = folder.look(lambda: 1e9)

    assert (one.state, "a.json" in one.said_text) == ("unreadable", True)


def test_one_that_is_put_away_while_the_folder_is_read_is_no_trouble(
    home: Path, folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    (home / "a.json").write_bytes(JOB)
    (home / "b.json").write_bytes(JOB)

    class Gone:
        name = "gone.json"

        def is_file(self) -> bool:
            return True

        def stat(self) -> os.stat_result:
            raise FileNotFoundError(2, "gone")

    listed = os.scandir
    monkeypatch.setattr("app.exchange.folder.os.scandir", lambda path: [*listed(path), Gone()])

    assert [name for name, _, _ in looked(folder, 2)] == ["a.json", "b.json"]


def test_what_is_in_goes_into_taken_and_is_offered_no_more(home: Path, folder: Folder) -> None:
    (home / "a.json").write_bytes(DRAFT)
    folder.look(lambda: 0.0)
    (one,) = folder.look(lambda: 0.0)

    assert folder.put_away(one) == home / "taken" / "a.json"
    assert (home / "taken" / "a.json").read_bytes() == DRAFT
    assert looked(folder, 2) == []


def test_another_file_of_the_same_name_is_not_written_over(home: Path, folder: Folder) -> None:
    for data in (DRAFT, JOB):
        (home / "a.json").write_bytes(data)
        folder.look(lambda: 0.0)
        (one,) = folder.look(lambda: 0.0)
        folder.put_away(one)

    assert sorted(path.read_bytes() for path in (home / "taken").iterdir()) == sorted((DRAFT, JOB))


def test_in_a_folder_that_can_only_be_read_it_is_remembered(
    home: Path, folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    (home / "a.json").write_bytes(DRAFT)
    folder.look(lambda: 0.0)
    (one,) = folder.look(lambda: 0.0)
    monkeypatch.setattr(Path, "mkdir", _refuse)

    assert folder.put_away(one) is None
    assert (home / "a.json").read_bytes() == DRAFT
    assert looked(folder, 2) == []


def test_one_that_was_replaced_meanwhile_is_not_put_away(home: Path, folder: Folder) -> None:
    (home / "a.json").write_bytes(DRAFT)
    folder.look(lambda: 0.0)
    (one,) = folder.look(lambda: 0.0)
    (home / "a.json").write_bytes(JOB)

    assert folder.put_away(one) is None
    assert looked(folder, 2) == [("a.json", "job file", "ready")]


def test_what_was_said_to_a_file_stands_beside_it(home: Path, folder: Folder) -> None:
    (home / "a.json").write_bytes(DRAFT)
    folder.look(lambda: 0.0)
    folder.refuse(folder.look(lambda: 0.0)[0], "Nobody knows who signed it.")

    assert [one.said_text for one in folder.look(lambda: 0.0)] == ["Nobody knows who signed it."]


def test_a_folder_that_is_gone_says_so(tmp_path: Path) -> None:
    with pytest.raises(FolderProblem, match=r"Everything here is kept\. .*connect the share or the stick"):
        Folder(tmp_path / "gone", tmp_path / "r").look(lambda: 0.0)


def _refuse(*_args: object, **_named: object) -> None:
    raise PermissionError(13, "Permission denied")
