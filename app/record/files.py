"""Files that are either whole or not there: written aside, synced, read again, then renamed."""

from __future__ import annotations

import errno
import os
import secrets
from pathlib import Path


def write_whole(path: Path, data: bytes, *, mode: int = 0o644) -> None:
    """Put `data` at `path` so that a power cut leaves the old file or the new one, never half of it.

    Raises OSError where the folder cannot be written or the bytes do not read back the same.
    """
    if path.exists() and not path.is_file():
        raise OSError(errno.EINVAL, "This is no ordinary file", str(path))
    partial = path.with_name(f".{path.name}.{secrets.token_hex(4)}.partial")
    try:
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
        descriptor = os.open(partial, flags, 0o600)
        with os.fdopen(descriptor, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if partial.read_bytes() != data:
            raise OSError(f"{path.name} did not read back as it was written")
        partial.chmod(mode)
        partial.replace(path)
    finally:
        partial.unlink(missing_ok=True)
    sync_folder(path.parent)


def make_folder(folder: Path) -> None:
    """Make a folder, with those above it, so that its name outlives a power cut."""
    if not folder.is_dir():
        make_folder(folder.parent)
        folder.mkdir(exist_ok=True)
        sync_folder(folder.parent)


def sync_folder(folder: Path) -> None:
    """Make the names in a folder outlive a power cut; Windows does so by itself."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
