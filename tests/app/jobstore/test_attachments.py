from __future__ import annotations

from pathlib import Path

import pytest

from app.jobstore import StoreProblem
from app.jobstore.attachments import folder_of, get, path_of, put
from app.record.canonical import digest


def test_a_file_lies_under_its_digest(path: Path) -> None:
    digest_hex = put(path, b"photograph")
    assert digest_hex == digest(b"photograph")
    assert path_of(path, digest_hex).read_bytes() == b"photograph"
    assert folder_of(path).name == "jobs.coreleaf.attachments"


def test_equal_files_are_kept_once(path: Path) -> None:
    put(path, b"photograph")
    put(path, b"photograph")
    assert len([entry for entry in folder_of(path).rglob("*") if entry.is_file()]) == 1


def test_a_spoiled_file_is_put_right_when_it_is_attached_again(path: Path) -> None:
    digest_hex = put(path, b"photograph")
    path_of(path, digest_hex).write_bytes(b"half")
    put(path, b"photograph")
    assert get(path, digest_hex, name_text="plate.png") == b"photograph"


def test_a_spoiled_file_is_not_handed_out(path: Path) -> None:
    digest_hex = put(path, b"photograph")
    path_of(path, digest_hex).write_bytes(b"other")
    with pytest.raises(StoreProblem, match=r"plate\.png is no longer what was attached"):
        get(path, digest_hex, name_text="plate.png")


def test_a_missing_file_is_named(path: Path) -> None:
    with pytest.raises(
        StoreProblem, match=r"plate\.png is missing from the folder jobs\.coreleaf\.attachments"
    ):
        get(path, "ab" * 32, name_text="plate.png")
