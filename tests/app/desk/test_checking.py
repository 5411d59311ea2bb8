"""Files that are checked at a desk, on their own and against what this store knows."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app import commands
from app.desk import Refusal
from app.jobstore import Store
from app.jobstore.writing import readings_digest
from app.record.chain import FIRST_PREV, spelled_event
from tests.app.desk.making import Seat


@pytest.fixture
def sheet(approver: Seat, waiting: str, issued: Path, tmp_path: Path) -> Path:
    """The sheet of the issued job; its pack lies beside it."""
    return approver.desk.sheet(waiting, tmp_path / "sheet.pdf")


def change_behind(path: Path, *statements: str) -> None:
    """Change a store behind the program's back, guards taken off first."""
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        names = [row[0] for row in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")]
        for statement in (*(f"DROP TRIGGER {name}" for name in names), *statements):
            raw.execute(statement)


def make_anew(path: Path, old_text: str, new_text: str) -> None:
    """Change a reading, and write every event anew so that the trail fits it."""
    change_behind(path, f"UPDATE reading SET as_typed_text = '{new_text}' WHERE as_typed_text = '{old_text}'")
    with closing(Store.open(path, read_only=True)) as store:
        events, (line,) = store.events(), store.jobs()
        readings, head = store.load(line.job_id).readings, FIRST_PREV
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        for event in events:
            bound = {"readings": readings_digest(readings)} if "readings" in event.content else {}
            new, spelled = spelled_event(
                head, event.n, event.device_id, event.act, {**event.content, **bound}
            )
            values = (head, new.digest, new.head, spelled.decode(), event.n)
            raw.execute("UPDATE event SET prev = ?, digest = ?, head = ?, body = ? WHERE n = ?", values)
            head = new.head


def test_an_issued_sheet_is_held_against_the_issue_where_it_is_known(sheet: Path, approver: Seat) -> None:
    verdict = approver.desk.check(sheet)

    assert verdict.outcome == "genuine"
    assert {one.meaning for one in verdict.signers} == {"tested", "approved", "issued"}


def test_an_issued_sheet_is_genuine_where_nothing_is_known_but_the_people(sheet: Path, tester: Seat) -> None:
    assert tester.desk.check(sheet).outcome == "genuine"


def test_a_sheet_is_held_against_a_pack(sheet: Path, tester: Seat, tmp_path: Path) -> None:
    assert tester.desk.check(sheet, tmp_path / "issued.zip").outcome == "genuine"


def test_a_pack_that_is_not_there_is_said_before_anything_is_checked(
    sheet: Path, tester: Seat, tmp_path: Path
) -> None:
    with pytest.raises(Refusal, match=r"other\.zip is not there"):
        tester.desk.check(sheet, tmp_path / "other.zip")


def test_a_sheet_that_was_stamped_is_altered(sheet: Path, approver: Seat) -> None:
    sheet.write_bytes(sheet.read_bytes() + b"\n% stamped\n")

    assert approver.desk.check(sheet).outcome == "altered"


def test_the_own_store_is_checked_while_it_is_open(sheet: Path, approver: Seat) -> None:
    assert approver.desk.check(approver.store.path).outcome == "genuine"


def test_the_store_of_another_computer_is_checked_by_reading_it(
    sheet: Path, tester: Seat, approver: Seat
) -> None:
    assert tester.desk.check(approver.store.path).outcome == "genuine"


def test_the_command_line_says_the_same_of_a_store_that_is_closed(
    issued: Path, approver: Seat, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("CORELEAF_HOME", str(approver.folder / "settings"))
    approver.close()

    assert commands.run(["verify", str(approver.store.path)]) == 0
    assert "1 signed revisions in it are as they were signed" in capsys.readouterr().out


def test_a_store_whose_trail_was_spoiled_is_altered_though_its_papers_cannot_be_read(
    issued: Path, tester: Seat, approver: Seat
) -> None:
    approver.close()
    change_behind(approver.store.path, "UPDATE event SET body = '{}' WHERE n = 2")
    first, second = tester.desk.check(approver.store.path).sentences

    assert first.startswith("Altered: An event of the trail can't be read")
    assert second.startswith("Nothing was changed. A piece of the file jobs.coreleaf can't be read")


@pytest.mark.parametrize("place", ["tester", "approver"])
def test_a_reading_changed_together_with_the_whole_trail_is_altered(
    place: str, issued: Path, tester: Seat, approver: Seat
) -> None:
    """Whoever knows how a trail is made can make one that fits in itself; what was signed shows it."""
    seat, other = {"tester": (tester, approver), "approver": (approver, tester)}[place]
    seat.close()
    make_anew(seat.store.path, "2.90", "2.10")

    assert other.desk.check(seat.store.path).sentences[:2] == (
        "Altered: Revision 1 of job 77 was frozen with other readings than the job has here.",
        f"The trail of device {seat.store.device_id} is not the one in which number 77, revision 1, was "
        "signed.",
    )


def test_what_is_no_file_of_ours_cannot_be_told(tester: Seat, tmp_path: Path) -> None:
    path = tmp_path / "letter.pdf"
    path.write_bytes(b"%PDF-1.7 nothing of ours")

    assert tester.desk.check(path).outcome == "cannot tell"
