from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from app.jobstore import Store, StoreProblem, lock
from app.record.act import Act
from ctcore.job import Reading

MakeAct = Callable[..., Act]
MakeReading = Callable[..., Reading]


def test_a_second_opener_in_this_program_may_only_read(filled: Store, path: Path, act: MakeAct) -> None:
    with closing(Store.open(path)) as second:
        assert second.read_only
        assert "already open in another window since" in str(second.read_only_reason)
        assert second.load("j1") == filled.load("j1")
        with pytest.raises(StoreProblem, match=r"Nothing was changed\. This store is already open"):
            second.append("j1", act())


def test_a_second_process_may_only_read_and_says_so(filled: Store, path: Path) -> None:
    script = (
        "import sys; from pathlib import Path; from app.jobstore import Store\n"
        "store = Store.open(Path(sys.argv[1]))\n"
        "print(store.read_only, len(store.jobs()), store.read_only_reason); store.close()"
    )
    answer = run(script, path)
    assert answer.startswith("True 1 This store is already open in another window")
    assert filled.read_only is False


def test_the_second_opener_sees_what_the_first_saved_meanwhile(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading
) -> None:
    with closing(Store.open(path)) as second:
        filled.append("j1", act(), readings=[reading()])
        assert len(second.load("j1").readings) == 1


def test_the_store_can_be_written_again_once_the_first_window_is_closed(filled: Store, path: Path) -> None:
    filled.close()
    with closing(Store.open(path)) as second:
        assert second.read_only_reason is None


def test_a_store_opened_for_reading_only_writes_nothing(filled: Store, path: Path, act: MakeAct) -> None:
    filled.close()
    before = path.read_bytes()
    with closing(Store.open(path, read_only=True)) as reader:
        assert (reader.device_id, len(reader.jobs())) == ("d1", 1)
        with pytest.raises(StoreProblem, match="opened for reading only"):
            reader.add_attachment(
                "j1", b"x", name_text="x", media_type="x", core_id="", procedure_id="", act=act()
            )
    assert path.read_bytes() == before
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]


def test_a_file_that_may_not_be_written_opens_for_reading_and_says_why(
    filled: Store, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled.close()
    monkeypatch.setattr("os.access", lambda *_: False)
    with closing(Store.open(path)) as reader:
        assert reader.read_only_reason == "The file jobs.coreleaf may not be written to."
        assert len(reader.jobs()) == 1


def test_a_folder_that_may_not_be_written_opens_for_reading_and_says_why(
    filled: Store, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled.close()
    monkeypatch.setattr(lock, "take", refuse)
    with closing(Store.open(path)) as reader:
        assert reader.read_only_reason == "The folder of jobs.coreleaf may not be written to."
        assert len(reader.jobs()) == 1


def test_a_new_store_in_a_folder_that_may_not_be_written_is_refused(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "take", refuse)
    with pytest.raises(
        StoreProblem, match=r"Nothing was changed\. A store cannot be made .*Permission denied"
    ):
        Store.open(path)


def run(script: str, *args: object) -> str:
    root = Path(__file__).parents[3]
    done = subprocess.run(
        [sys.executable, "-c", script, *map(str, args)], cwd=root, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def refuse(*_: object) -> None:
    raise PermissionError(13, "Permission denied")
