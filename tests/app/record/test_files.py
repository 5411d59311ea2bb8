from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from app.record.files import make_folder, sync_folder, write_whole


def test_the_file_holds_the_bytes_and_nothing_else_lies_beside_it(tmp_path: Path) -> None:
    write_whole(tmp_path / "one", b"bytes")

    assert [path.name for path in tmp_path.iterdir()] == ["one"]
    assert (tmp_path / "one").read_bytes() == b"bytes"


@pytest.mark.parametrize("mode", [0o600, 0o644])
def test_the_file_has_the_permissions_asked_for(tmp_path: Path, mode: int) -> None:
    write_whole(tmp_path / "one", b"bytes", mode=mode)

    assert stat.S_IMODE((tmp_path / "one").stat().st_mode) == mode


def test_bytes_that_read_back_otherwise_leave_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "one").write_bytes(b"old")
    with monkeypatch.context() as spoiled:
        spoiled.setattr(Path, "read_bytes", lambda _: b"other")
        with pytest.raises(OSError, match="did not read back"):
            write_whole(tmp_path / "one", b"new")

    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [("one", b"old")]


def test_a_system_that_syncs_names_by_itself_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "name", "nt")

    assert sync_folder(tmp_path) is None


def test_what_is_no_ordinary_file_is_left_alone(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="no ordinary file"):
        write_whole(tmp_path, b"bytes")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no such device")
def test_a_device_is_not_replaced_by_a_file() -> None:
    with pytest.raises(OSError, match="no ordinary file"):
        write_whole(Path("/dev/full"), b"bytes")
    assert Path("/dev/full").is_char_device()


def test_every_folder_that_is_made_is_named_on_the_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[Path] = []
    monkeypatch.setattr("app.record.files.sync_folder", synced.append)
    make_folder(tmp_path / "one" / "two")
    make_folder(tmp_path / "one" / "two")
    assert synced == [tmp_path, tmp_path / "one"]
