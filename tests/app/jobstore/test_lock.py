from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.jobstore import lock
from app.jobstore.lock import Holder, Lock, lock_path, take

HOLD = (
    "import sys; from pathlib import Path; from app.jobstore.lock import take\n"
    "held = take(Path(sys.argv[1])); print('held', flush=True); sys.stdin.read()"
)


def taken(path: Path) -> Lock:
    held = take(path)
    assert isinstance(held, Lock)
    return held


@pytest.fixture
def other_process(path: Path) -> Iterator[subprocess.Popen[str]]:
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(path)], cwd=Path(__file__).parents[3], text=True,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        assert process.stdout.readline() == "held\n"
        yield process
        process.kill()


def test_the_first_one_gets_the_lock_and_leaves_its_name(path: Path) -> None:
    held = taken(path)
    text = json.loads(lock_path(path).read_text(encoding="ascii"))
    held.release()
    assert (text["pid"], text["boot_id"], held.left_behind) == (os.getpid(), lock.boot_id(), None)


def test_a_lock_whose_file_cannot_be_taken_away_is_let_go_all_the_same(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = taken(path)
    monkeypatch.setattr(Path, "unlink", refuse)
    held.release()
    monkeypatch.undo()
    again = taken(path)
    again.release()
    assert again.left_behind is not None


def test_a_full_disk_does_not_keep_the_store_from_being_locked(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "_write", refuse)
    held = taken(path)
    assert take(path) == lock.UNKNOWN
    held.release()


def test_where_the_disk_knows_no_locks_the_name_has_to_be_written(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "_locked", lambda _descriptor: None)
    monkeypatch.setattr(lock, "_write", refuse)
    with pytest.raises(OSError, match="No space left"):
        take(path)


def refuse(*_: object, **__: object) -> None:
    raise OSError(28, "No space left on device")


def test_a_released_lock_leaves_no_file(path: Path) -> None:
    taken(path).release()
    assert not lock_path(path).exists()


def test_a_second_one_learns_who_holds_it(path: Path, other_process: subprocess.Popen[str]) -> None:
    holder = take(path)
    assert isinstance(holder, Holder)
    assert holder.pid == other_process.pid


def test_the_lock_of_a_killed_process_is_taken_over(path: Path, other_process: subprocess.Popen[str]) -> None:
    other_process.kill()
    other_process.wait()
    held = taken(path)
    held.release()
    assert held.left_behind is not None
    assert held.left_behind.pid == other_process.pid


def test_an_abandoned_lock_is_found_as_left_behind(path: Path) -> None:
    taken(path).abandon()
    held = taken(path)
    held.release()
    assert held.left_behind is not None
    assert held.left_behind.pid == os.getpid()


def test_a_lock_file_whose_writer_was_killed_before_its_name_counts_as_left_behind(path: Path) -> None:
    lock_path(path).touch()
    held = taken(path)
    held.release()
    assert held.left_behind == lock.UNKNOWN


def test_a_lock_that_was_taken_away_between_opening_and_locking_is_taken_anew(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = iter([False, True])
    monkeypatch.setattr(lock, "_same_file", lambda *_: next(answers))
    held = taken(path)
    held.release()
    assert list(answers) == []


def test_a_lock_file_that_keeps_slipping_away_is_given_up_after_a_few_tries(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "_same_file", lambda *_: False)
    assert take(path) == lock.UNKNOWN


def test_a_lock_file_that_goes_before_it_is_opened_is_made_anew(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    really = lock._open
    answers = iter([FileNotFoundError()])

    def slip_away_once(at: Path) -> tuple[int, bool]:
        for problem in answers:
            raise problem
        return really(at)

    monkeypatch.setattr(lock, "_open", slip_away_once)
    taken(path).release()


def test_a_lock_file_taken_away_under_the_lock_is_another_file(path: Path) -> None:
    held = taken(path)
    lock_path(path).unlink()
    other = taken(path)
    assert not lock._same_file(held.descriptor, path.with_name("gone"))
    held.abandon()
    other.release()


def test_a_system_without_a_run_number_has_an_empty_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "_BOOT_ID", tmp_path / "none")
    assert lock.boot_id() == ""


def test_a_disk_that_knows_no_locks_is_told_from_one_that_is_locked(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_locks(*_: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr("fcntl.flock", no_locks)
    assert lock._locked(0) is None


class TestOnADiskWithoutLocks:
    """There the name in the file has to do: process and run of the computer."""

    @pytest.fixture(autouse=True)
    def no_locks(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(lock, "_locked", lambda _: None)

    def left(self, path: Path, pid: int, boot_id: str) -> None:
        text = json.dumps({"pid": pid, "boot_id": boot_id, "since_utc": "2031-05-04T08:00:00Z"})
        lock_path(path).write_text(text, encoding="ascii")

    def test_a_living_process_of_this_run_keeps_the_lock(self, path: Path) -> None:
        self.left(path, os.getppid(), lock.boot_id())
        assert take(path) == Holder(os.getppid(), lock.boot_id(), "2031-05-04T08:00:00Z")

    def test_a_process_of_an_earlier_run_of_the_computer_does_not(self, path: Path) -> None:
        self.left(path, os.getppid(), "earlier")
        taken(path).release()

    def test_a_living_process_of_somebody_else_keeps_the_lock(
        self, path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def not_yours(*_: object) -> None:
            raise PermissionError

        monkeypatch.setattr(os, "kill", not_yours)
        self.left(path, os.getppid(), lock.boot_id())
        assert isinstance(take(path), Holder)

    def test_a_dead_process_does_not(self, path: Path) -> None:
        with subprocess.Popen([sys.executable, "-c", ""]) as gone:
            pass
        self.left(path, gone.pid, lock.boot_id())
        taken(path).release()
