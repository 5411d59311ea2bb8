"""Room on the disk: how much is free, and a reserve that is given up when there is none."""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Final

RESERVE_BYTES: Final = 16 * 1024 * 1024
LOW_BYTES: Final = 500_000_000
FULL_BYTES: Final = 100_000_000
_PIECE_BYTES: Final = 1024 * 1024

NO_NEW_JOB: Final = (
    "Everything saved is safe. No new job was begun, because the disk has less than 100 MB free: finish and "
    "sign the jobs that are open, and free some space first."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """What is free on the disk of the store, and whether the reserve is held beside it."""

    free_bytes: int
    reserve_held: bool

    @property
    def low(self) -> bool:
        """Whether it is time to free some."""
        return self.free_bytes < LOW_BYTES

    @property
    def full(self) -> bool:
        """Whether there is too little for another job."""
        return self.free_bytes < FULL_BYTES


def reserve_of(store: Path) -> Path:
    """The file that is given up when the disk is full."""
    return store.with_name(store.name + ".reserve")


def look(store: Path) -> Space:
    """The present room beside a store; OSError where the disk is gone."""
    held = reserve_of(store).exists()
    return Space(free_bytes=shutil.disk_usage(store.parent).free, reserve_held=held)


def words(store: Path) -> str:
    """What there is to say about the room, empty where there is enough; the reserve is made again then."""
    held = hold_reserve(store)
    found = look(store)
    free_text = f"{found.free_bytes // 1_000_000} MB"
    if found.full and not held:
        return (
            "Everything saved is safe. The disk is full and the reserve is in use: you can finish, sign and "
            "give out the jobs that are here. Free 100 MB to go on."
        )
    if found.full:
        return (
            f"Everything saved is safe. The disk has {free_text} free: the jobs that are here can be "
            "finished, no new one is begun. Free 100 MB to go on."
        )
    if found.low:
        return f"Everything saved is safe. The disk has {free_text} free: free some before it is full."
    return ""


def hold_reserve(store: Path) -> bool:
    """Make the reserve where it is missing and there is room for it; whether it is held afterwards."""
    path = reserve_of(store)
    try:
        if path.exists() and path.stat().st_size == RESERVE_BYTES:
            return True
        if look(store).free_bytes < FULL_BYTES + RESERVE_BYTES:
            return False
        with path.open("wb") as stream:
            # Assumption: chance bytes take their room even on disks that pack or leave out empty ones.
            piece = os.urandom(_PIECE_BYTES)
            for _ in range(RESERVE_BYTES // _PIECE_BYTES):
                stream.write(piece)
            stream.flush()
            os.fsync(stream.fileno())
    except OSError:
        give_up_reserve(store)
        return False
    return True


def give_up_reserve(store: Path) -> bool:
    """Take the reserve away; whether there was one."""
    try:
        reserve_of(store).unlink()
    except OSError:
        return False
    return True
