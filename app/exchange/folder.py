"""A folder that laptops and office share: what waits there, once it is whole; nothing is ever deleted.

What was taken in goes into `taken`; where the folder can only be read it is remembered by its digest.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final, Literal

from app.exchange import jobfile, signedfile
from app.exchange.problem import JobFileProblem
from app.record import draft, pack, signed_job
from app.record.canonical import digest
from app.record.files import write_whole
from app.record.problem import Altered, CannotTell

TAKEN: Final = "taken"
_ENDINGS: Final = (".json", ".zip", ".pdf")
# Practice: a share that copies slower than this between two looks is looked at again; from memory.
_OLD_S: Final = 600.0

State = Literal["ready", "settling", "unreadable"]


class FolderProblem(Exception):
    """The folder itself is not there, or cannot be read; the sentence says what to do."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderFile:
    """One file that waits; `said_text` says why it cannot be taken, or what was said when that was tried."""

    path: Path
    kind: str
    state: State
    digest_hex: str = ""
    said_text: str = ""


class Folder:
    """Looks at the folder time and again; one object remembers from look to look what stood how large."""

    def __init__(self, folder: Path, remembered: Path) -> None:
        self.path = folder
        self._remembered = remembered
        self._sizes: dict[str, tuple[int, float]] = {}
        self._known: dict[tuple[str, int, float], FolderFile] = {}
        self._refused: dict[str, str] = {}

    def look(self, now_s: Callable[[], float]) -> list[FolderFile]:
        """What waits now, by name; FolderProblem where the folder is gone."""
        try:
            entries = sorted(
                (entry for entry in os.scandir(self.path) if entry.is_file()), key=lambda entry: entry.name
            )
            stats = dict[str, os.stat_result]()
            for entry in entries:
                # One that somebody else put away between the two is no longer waited for.
                with suppress(FileNotFoundError):
                    stats[entry.name] = entry.stat()
        except OSError as problem:
            raise FolderProblem(
                f"Everything here is kept. The exchange folder {self.path} is not there "
                f"({(problem.strerror or str(problem)).lower()}): connect the share or the stick."
            ) from problem
        taken, found = self._taken(), list[FolderFile]()
        sizes = {name: (stat.st_size, stat.st_mtime) for name, stat in stats.items()}
        for name, stat in stats.items():
            if not name.lower().endswith(_ENDINGS) or name.startswith("."):
                continue
            one = FolderFile(path=self.path / name, kind="unknown", state="settling")
            if self._sizes.get(name) == sizes[name]:
                one = self._read(one.path, stat, now_s())
            if one.digest_hex not in taken:
                found.append(replace(one, said_text=self._refused.get(one.digest_hex, one.said_text)))
        self._sizes = sizes
        return found

    def refuse(self, one: FolderFile, sentence: str) -> None:
        """Remember what was said to a file; it stays where it is."""
        self._refused[one.digest_hex] = sentence

    def put_away(self, one: FolderFile) -> Path | None:
        """A file that is in: move it into `taken`, or remember it where that cannot be; the same bytes alone.

        The new path; None where it stays. A file that was replaced meanwhile is left to be looked at.
        """
        with suppress(OSError):
            if digest(one.path.read_bytes()) != one.digest_hex:
                return None
            home = self.path / TAKEN
            home.mkdir(exist_ok=True)
            new = home / one.path.name
            if new.exists():
                new = home / f"{one.path.stem} {one.digest_hex[:12]}{one.path.suffix}"
            if not new.exists():
                one.path.rename(new)
                return new
        self._remember(one.digest_hex)
        return None

    def _read(self, path: Path, stat: os.stat_result, now_s: float) -> FolderFile:
        """What a file that stands still holds; one that cannot be read may still be on its way."""
        key = (path.name, stat.st_size, stat.st_mtime)
        if key in self._known:
            return self._known[key]
        try:
            data = signedfile.load(path)
            kind = signedfile.kind_of(data)
            _demand_whole(kind, data, path.name)
        except (JobFileProblem, CannotTell, Altered) as problem:
            # A file from a clock that is ahead never grows old by itself.
            old = abs(now_s - stat.st_mtime) > _OLD_S
            return FolderFile(
                path=path, kind="unknown", state="unreadable" if old else "settling",
                said_text=problem.sentence if old else "",
            )  # fmt: skip
        self._known[key] = FolderFile(path=path, kind=kind, state="ready", digest_hex=digest(data))
        return self._known[key]

    def _taken(self) -> set[str]:
        try:
            return set(json.loads(self._remembered.read_text("utf-8")))
        except (OSError, ValueError, TypeError):
            return set()

    def _remember(self, digest_hex: str) -> None:
        known = sorted(self._taken() | {digest_hex})
        write_whole(self._remembered, json.dumps(known).encode())


def _demand_whole(kind: signedfile.Kind, data: bytes, file_text: str) -> None:
    """Refuse what ends in its middle; whether it is genuine is asked when it is taken in."""
    if kind == "draft":
        draft.from_bytes(data)
    elif kind == "signed job":
        signed_job.from_bytes(data)
    elif kind == "pack":
        pack.read_pack(data)
    elif kind == "job file":
        jobfile.read(data, file_text)
    elif b"%%EOF" not in data[-2048:]:
        raise CannotTell("The sheet ends in its middle: copy it again.")
