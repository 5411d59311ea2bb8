from __future__ import annotations

import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from app.jobstore import Store, StoreProblem
from app.record.act import Act
from ctcore.errors import BadInput
from ctcore.job import Reading

MakeAct = Callable[..., Act]
MakeReading = Callable[..., Reading]


def test_a_refused_entry_leaves_nothing_behind(filled: Store, act: MakeAct, reading: MakeReading) -> None:
    entered = reading()
    filled.append("j1", act(), readings=[entered])
    with pytest.raises(StoreProblem, match=r"^Everything saved before is safe\."):
        filled.append("j1", act(), readings=[reading(), entered], state="handed_in")
    assert (len(filled.events()), len(filled.load("j1").readings)) == (2, 1)
    assert filled.load("j1").state == "being_tested"


@pytest.mark.parametrize("text", ["1\0", "\ud800"])
def test_text_that_no_store_can_keep_is_refused_at_its_field(
    filled: Store, act: MakeAct, reading: MakeReading, text: str
) -> None:
    with pytest.raises(BadInput):
        filled.append("j1", act(), readings=[reading(text)])
    assert len(filled.events()) == 1


FULL_DISK = """
import resource, signal, sys
from pathlib import Path
from app.jobstore import Store, StoreProblem
from app.record.act import Act
path = Path(sys.argv[1])
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
store = Store.open(path)
size = path.stat().st_size
# The journal may grow past nothing, so the very first page that is put aside fails.
resource.setrlimit(resource.RLIMIT_FSIZE, (size if sys.argv[2] == "store" else 512, resource.RLIM_INFINITY))
act = Act("remark", "p1", "A. Tester", "2031-05-04T08:42:07Z", 120, "Etc/UTC", {}, None, "x" * 50000)
try:
    store.append("j1", act)
    print("saved")
except StoreProblem as problem:
    print(problem.sentence)
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
print(len(store.events()), store.faults())
store.append("j1", act)
print(len(store.events()), store.faults())
store.close()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="file size limits are a thing of POSIX")
@pytest.mark.parametrize("full", ["store", "journal"])
def test_after_a_failed_write_the_store_is_read_again_and_says_first_what_is_safe(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading, full: str
) -> None:
    filled.append("j1", act(), readings=[reading(), reading()])
    filled.close()
    lines = run(FULL_DISK, path, full).splitlines()
    assert lines[0].startswith(
        "Your 2 readings are saved, the last one of 2031-05-04 10:42:07. The last entry was not"
    )
    assert lines[1:] == ["2 []", "3 []"]


def test_a_job_whose_parts_were_spoiled_is_said_to_be_unreadable(filled: Store, path: Path) -> None:
    filled.close()
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("UPDATE part SET body = '{' WHERE part_id = 'header'")
        raw.commit()
    with closing(Store.open(path)) as store:
        with pytest.raises(StoreProblem, match=r"A piece of the file jobs\.coreleaf can't be read"):
            store.load("j1")
        assert "can't be read" in store.faults()[0]


def test_a_store_that_fails_in_its_first_transaction_is_let_go(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.jobstore.store.settle_device", refuse)
    with pytest.raises(PermissionError):
        Store.open(path)
    monkeypatch.undo()
    with closing(Store.open(path)) as store:
        assert store.read_only is False


def test_a_disk_that_is_gone_altogether_is_said_to_be_unreadable(
    filled: Store, path: Path, act: MakeAct
) -> None:
    away = path.with_name("elsewhere")
    filled._engine.dispose()  # type: ignore[union-attr]
    path.rename(away)
    path.mkdir()
    with pytest.raises(
        StoreProblem, match=r"still in the file jobs\.coreleaf, but it can't be read at the moment"
    ):
        filled.append("j1", act())
    path.rmdir()
    away.rename(path)
    filled.append("j1", act())
    assert filled.faults() == []


def run(script: str, *args: object) -> str:
    root = Path(__file__).parents[3]
    done = subprocess.run(
        [sys.executable, "-c", script, *map(str, args)], cwd=root, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_store_that_was_spoiled_while_it_was_open_says_so_and_raises_nothing_else(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading
) -> None:
    for_every_page = [reading(f"{number} V") for number in range(200)]
    filled.append("j1", act(), readings=for_every_page)
    size = path.stat().st_size
    with path.open("r+b") as stream:
        stream.seek(size // 4)
        stream.write(b"\xa5" * (size // 2))
    (said,) = filled.faults()
    assert "can't be read" in said


def refuse(*_: object) -> None:
    raise PermissionError(13, "Permission denied")
