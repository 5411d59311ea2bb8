"""What kind of folder data lies in: a local one, or one that other computers or other people reach."""

from __future__ import annotations

import os
import re
import stat
import sys
from pathlib import Path
from typing import Final, Literal

Kind = Literal["local", "network", "synchronised", "others"]

# Names of file systems that lie on another computer, as the kernel spells them.
_NETWORK: Final = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "ncpfs", "afs", "9p", "ceph", "lustre", "ocfs2", "gfs2", "davfs"}
)
# Assumption: a file system of a user's program that is no disk of another system brings files from elsewhere.
_DISKS_BY_PROGRAM: Final = frozenset({"fuseblk", "fuse.ntfs", "fuse.exfat"})
# Practice: folders that a program keeps alike on several computers mostly say so in their names (no source).
_SAID_BY_NAME: Final = re.compile(
    r"(^|[^a-z])(sync(ed|hroni[sz]ed)?|cloud(storage)?)([^a-z]|$)", re.IGNORECASE
)
# Where two words are written as one, each with its capital.
_JOINED: Final = re.compile(r"(?<=[a-z])(?=[A-Z])")
_MOUNTS: Final = Path("/proc/self/mountinfo")
_ESCAPED: Final = re.compile(r"\\([0-7]{3})")
# Format: the mark of folders that the system fetches from elsewhere; the four bits left out count providers.
_FETCHED_TAG, _PROVIDER_BITS = 0x9000001A, 0xF000
_DRIVE_REMOTE: Final = 4

_WORDS: Final[dict[Kind, str]] = {
    "local": "",
    "network": (
        "lies on another computer (a network folder): a line that breaks while a reading is saved can damage "
        "the store, and two computers must never write it at once"
    ),
    "synchronised": (
        "seems to be kept alike on several computers by another program: that program can replace the store "
        "by an older one, or leave two of them"
    ),
    "others": "may be written to by every user of this computer: others can change or delete what lies in it",
}


def kind_of(folder: Path, *, mounts: Path = _MOUNTS) -> Kind:
    """What kind of folder that is; for one that is not there yet, the nearest one above it that is."""
    here = nearest(folder)
    if _on_network(here, mounts):
        return "network"
    if _is_synchronised(folder.absolute(), here):
        return "synchronised"
    return "others" if _open_to_all(here) else "local"


def warning(folder: Path, *, mounts: Path = _MOUNTS) -> str:
    """A sentence where the folder is a bad place for a store; empty for a local one."""
    words = _WORDS[kind_of(folder, mounts=mounts)]
    if not words:
        return ""
    return (
        f"Everything saved is safe. The folder {folder} {words}. Keep data in a folder of this computer "
        "alone, and give out jobs as files."
    )


def nearest(folder: Path) -> Path:
    """The folder itself, or the nearest one above it that is there."""
    found = folder.absolute()
    while not found.is_dir() and found != found.parent:
        found = found.parent
    return found.resolve()


def _on_network(here: Path, mounts: Path) -> bool:
    if os.name == "nt":  # pragma: no cover - Windows alone
        return _on_windows_network(here)
    kind = _file_system(here, mounts)
    return kind in _NETWORK or (kind.startswith("fuse.") and kind not in _DISKS_BY_PROGRAM)


def _on_windows_network(here: Path) -> bool:  # pragma: no cover - Windows alone
    import ctypes

    if here.drive.startswith("\\\\"):
        return True
    kernel = getattr(ctypes, "windll").kernel32  # noqa: B009 - other systems have none
    return bool(kernel.GetDriveTypeW(here.anchor) == _DRIVE_REMOTE)


def _file_system(here: Path, mounts: Path) -> str:
    """The kind of file system of the mount that the folder lies in; empty where the system does not say."""
    try:
        lines = mounts.read_text(encoding="utf-8", errors="surrogateescape").splitlines()
    except OSError:
        return ""
    best, kind = -1, ""
    for line in lines:
        about, _, behind = line.partition(" - ")
        words, more = about.split(" "), behind.split(" ")
        if len(words) < 5 or not more[0]:
            continue
        mounted = Path(_ESCAPED.sub(lambda found: chr(int(found[1], 8)), words[4]))
        if here.is_relative_to(mounted) and len(mounted.parts) >= best:
            best, kind = len(mounted.parts), more[0]
    return kind


def _is_synchronised(folder: Path, here: Path) -> bool:
    tag = getattr(here.stat(), "st_reparse_tag", 0)
    if tag and tag & ~_PROVIDER_BITS == _FETCHED_TAG:
        return True
    return any(_SAID_BY_NAME.search(_JOINED.sub(" ", part)) for part in folder.parts)


def _open_to_all(here: Path) -> bool:
    """Whether any user may write there; a folder of which each user owns the own part only is none."""
    if sys.platform == "win32":
        return False
    mode = here.stat().st_mode
    return bool(mode & stat.S_IWOTH) and not mode & stat.S_ISVTX
