from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest

from app.record.copying import copy_files, digest_of, files_in


@pytest.fixture
def source(tmp_path: Path) -> Path:
    for name, data in {"a.txt": b"a", "deep/er/b.bin": os.urandom(3_000_000), "log/line": b"l"}.items():
        (tmp_path / "source" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "source" / name).write_bytes(data)
    return tmp_path / "source"


def everything(_one: Path) -> bool:
    return False


def test_what_is_left_out_is_left_out_with_all_that_lies_in_it(source: Path) -> None:
    found = files_in(source, leave_out=lambda one: one.parts[0] == "log")

    assert [one.as_posix() for one in found] == ["a.txt", "deep/er/b.bin"]


def test_every_file_arrives_with_its_bytes_and_its_rights(source: Path, tmp_path: Path) -> None:
    (source / "a.txt").chmod(0o600)
    copy_files(source, tmp_path / "target", files_in(source, leave_out=everything))

    assert (tmp_path / "target" / "deep/er/b.bin").read_bytes() == (source / "deep/er/b.bin").read_bytes()
    assert (tmp_path / "target" / "a.txt").stat().st_mode & 0o777 == 0o600


def test_nothing_is_written_over(source: Path, tmp_path: Path) -> None:
    (tmp_path / "target").mkdir()
    (tmp_path / "target" / "a.txt").write_bytes(b"mine")

    with pytest.raises(FileExistsError):
        copy_files(source, tmp_path / "target", [Path("a.txt")])
    assert (tmp_path / "target" / "a.txt").read_bytes() == b"mine"


def test_a_large_file_has_the_digest_that_the_library_gives(source: Path) -> None:
    data = (source / "deep/er/b.bin").read_bytes()

    assert digest_of(source / "deep/er/b.bin") == hashlib.sha256(data).hexdigest()
