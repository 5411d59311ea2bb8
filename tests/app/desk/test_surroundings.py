"""A folder on another computer, one kept alike on several, and one open to all are told from a local one.

File systems are spelled as Linux writes them into /proc/self/mountinfo (proc(5), manual pages of Linux).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from app.desk import surroundings

LINE = "36 25 0:31 / {mounted} rw,relatime shared:1 - {kind} {source} rw\n"
ROOT = LINE.format(mounted="/", kind="ext4", source="/dev/sda1")


def mounts(room: Path, *lines: str) -> Path:
    path = room / "mountinfo"
    path.write_text("".join(lines), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("kind", "found"),
    [
        ("ext4", "local"),
        ("btrfs", "local"),
        ("fuseblk", "local"),
        ("nfs4", "network"),
        ("cifs", "network"),
        ("9p", "network"),
        ("fuse.anything", "network"),
    ],
)
def test_the_file_system_tells_whether_a_folder_lies_elsewhere(tmp_path: Path, kind: str, found: str) -> None:
    folder = tmp_path / "a b"
    folder.mkdir()
    escaped = str(folder).replace(" ", r"\040")
    read = mounts(tmp_path, ROOT, LINE.format(mounted=escaped, kind=kind, source="server:/share"))

    assert surroundings.kind_of(folder / "not yet" / "there", mounts=read) == found


def test_a_mount_that_is_over_another_counts(tmp_path: Path) -> None:
    over = LINE.format(mounted=tmp_path, kind="ext4", source="/dev/sdb1")
    under = LINE.format(mounted=tmp_path, kind="nfs", source="server:/share")

    assert surroundings.kind_of(tmp_path, mounts=mounts(tmp_path, ROOT, under, over)) == "local"


@pytest.mark.parametrize(
    "name", ["Sync", "My cloud", "CloudStorage", "synced-files", "team_sync", "MyCloudSync"]
)
def test_a_folder_that_says_so_by_its_name_is_taken_for_synchronised(tmp_path: Path, name: str) -> None:
    assert surroundings.kind_of(tmp_path / name / "data") == "synchronised"


@pytest.mark.parametrize("name", ["asynchronous", "clouded", "Synchrophasor", "site"], ids=range(4))
def test_another_name_is_not(tmp_path: Path, name: str) -> None:
    assert surroundings.kind_of(tmp_path / name) == "local"


def test_a_folder_that_every_user_may_write_to_is_named(tmp_path: Path) -> None:
    shared = tmp_path / "for-all"
    shared.mkdir()
    shared.chmod(0o777)

    assert surroundings.kind_of(shared) == "others"
    assert "others can change or delete" in surroundings.warning(shared)


def test_a_folder_where_each_user_owns_a_part_is_not(tmp_path: Path) -> None:
    shared = tmp_path / "sticky"
    shared.mkdir()
    shared.chmod(0o1777)

    assert surroundings.kind_of(shared) == "local"
    assert surroundings.warning(shared) == ""


def test_a_system_that_does_not_say_is_taken_for_local(tmp_path: Path) -> None:
    assert surroundings.kind_of(tmp_path, mounts=tmp_path / "nothing") == "local"


def test_a_warning_says_first_what_is_safe_and_last_what_to_do(tmp_path: Path) -> None:
    said = surroundings.warning(
        tmp_path, mounts=mounts(tmp_path, LINE.format(mounted="/", kind="nfs", source="server:/share"))
    )

    assert said.startswith(f"Everything saved is safe. The folder {tmp_path} lies on another computer")
    assert said.endswith("Keep data in a folder of this computer alone, and give out jobs as files.")
