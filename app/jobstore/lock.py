"""Who holds the store: a file beside it, locked by the operating system as long as its holder lives.

The lock goes with the process, so a crash never leaves it held; the file stays behind then, and that is
how the next start knows that the last one did not end by itself. The text in the file is for the message, and
for disks that know no locks. A second writer that got past it all the same would still be held up by SQLite,
and could make no fork: the head of the chain is read inside the writing transaction.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from app.record.files import sync_folder

_BOOT_ID: Final = Path("/proc/sys/kernel/random/boot_id")
_TRIES: Final = 5
# Assumption: Windows locks bytes for readers too, so the locked one lies far behind the text.
_LOCKED_BYTE: Final = 1 << 30


@dataclass(frozen=True, slots=True)
class Holder:
    """The process that holds, or last held, a store."""

    pid: int
    boot_id: str
    since_utc: str


UNKNOWN: Final = Holder(0, "", "")


@dataclass(slots=True)
class Lock:
    """A held lock; `left_behind` is the holder that went without letting go."""

    path: Path
    descriptor: int
    left_behind: Holder | None

    def release(self) -> None:
        """Let go and take the file away: the mark of a clean end; left there, the next start looks."""
        if os.name == "nt":  # pragma: no cover - Windows alone, which takes no open file away
            os.close(self.descriptor)
            with suppress(PermissionError):
                self.path.unlink(missing_ok=True)
            return
        try:
            with suppress(OSError):
                self.path.unlink(missing_ok=True)
        finally:
            os.close(self.descriptor)

    def abandon(self) -> None:
        """Let go but leave the file, so that the next start looks closely."""
        os.close(self.descriptor)


def lock_path(store: Path) -> Path:
    """Where the lock of a store lies."""
    return store.with_name(store.name + ".lock")


def take(store: Path) -> Lock | Holder:
    """The lock, or the living holder that has it. Raises OSError where the folder cannot be written."""
    path = lock_path(store)
    for _ in range(_TRIES):
        try:
            descriptor, existed = _open(path)
        except FileNotFoundError:
            continue
        held = _locked(descriptor)
        before = _read(descriptor) if existed else None
        if held is False or (held is None and before is not None and _alive(before)):
            os.close(descriptor)
            return before or UNKNOWN
        if not _same_file(descriptor, path):
            # The last holder took the file away between the opening and the locking.
            os.close(descriptor)
            continue
        try:
            _write(descriptor)
            sync_folder(path.parent)
        except OSError:
            # The name is for a message: on a full disk the lock of the operating system does without it.
            if held is None:
                os.close(descriptor)
                raise
        return Lock(path, descriptor, before)
    return UNKNOWN


def boot_id() -> str:
    """What tells this run of the computer from the one before; empty where the system does not say."""
    try:
        return _BOOT_ID.read_text(encoding="ascii").strip()
    except OSError:
        return ""


def _locked(descriptor: int) -> bool | None:
    """Whether the lock was got; None where the disk knows no locks."""
    try:
        if os.name == "nt":  # pragma: no cover - the locks of Windows alone
            import msvcrt

            os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined, unused-ignore]
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    except OSError:
        return None
    return True


def _open(path: Path) -> tuple[int, bool]:
    """The lock file and whether it was there already."""
    flags = os.O_RDWR | getattr(os, "O_BINARY", 0)
    try:
        return os.open(path, flags | os.O_CREAT | os.O_EXCL, 0o644), False
    except FileExistsError:
        return os.open(path, flags), True


def _read(descriptor: int) -> Holder:
    os.lseek(descriptor, 0, os.SEEK_SET)
    try:
        data = json.loads(os.read(descriptor, 4096))
        return Holder(int(data["pid"]), str(data["boot_id"]), str(data["since_utc"]))
    except (ValueError, KeyError, TypeError):
        # Killed while it wrote its name.
        return UNKNOWN


def _write(descriptor: int) -> None:
    since_utc = datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    text = json.dumps({"pid": os.getpid(), "boot_id": boot_id(), "since_utc": since_utc})
    os.lseek(descriptor, 0, os.SEEK_SET)
    os.ftruncate(descriptor, 0)
    os.write(descriptor, text.encode("ascii"))
    os.fsync(descriptor)


def _same_file(descriptor: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(descriptor), path.stat())
    except FileNotFoundError:
        return False


def _alive(holder: Holder) -> bool:
    if holder.pid <= 0 or holder.boot_id != boot_id() or holder.pid == os.getpid() or os.name == "nt":
        return False
    try:
        os.kill(holder.pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
