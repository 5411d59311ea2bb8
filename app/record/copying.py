"""A folder of files copied whole: each written, synced, read again, and compared by its SHA-256."""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Final

from app import progress
from app.record.files import make_folder, sync_folder

_PIECE_BYTES: Final = 1024 * 1024


def files_in(folder: Path, *, leave_out: Callable[[Path], bool]) -> list[Path]:
    """Every file beneath a folder by its place in it, in order, but for what is left out."""
    found = []
    for above, names, files in os.walk(folder):
        names[:] = sorted(name for name in names if not leave_out(Path(above, name).relative_to(folder)))
        found += [Path(above, name).relative_to(folder) for name in files]
    return sorted(one for one in found if not leave_out(one))


def copy_files(source: Path, target: Path, places: list[Path]) -> None:
    """Copy these files into another folder. OSError where one does not read back as it was.

    It can be stopped before each file; what was copied before is left to whoever asked.
    """
    for place in progress.each(places, "file"):
        path = target / place
        make_folder(path.parent)
        with (source / place).open("rb") as given, path.open("xb") as taken:
            shutil.copyfileobj(given, taken, _PIECE_BYTES)
            taken.flush()
            os.fsync(taken.fileno())
        path.chmod((source / place).stat().st_mode & 0o777)
    for folder in sorted({(target / place).parent for place in places}):
        sync_folder(folder)
    for place in progress.each(places, "file"):
        if digest_of(source / place) != digest_of(target / place):
            raise OSError(f"{place} did not read back as it was")


def digest_of(path: Path) -> str:
    """The SHA-256 of a file of any size."""
    sha = hashlib.sha256()
    with path.open("rb") as stream:
        while piece := stream.read(_PIECE_BYTES):
            sha.update(piece)
    return sha.hexdigest()
