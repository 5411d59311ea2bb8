"""Packs that laptops left in a folder, deposited in the archive by the office's process."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.exchange import signedfile
from app.exchange.folder import TAKEN, Folder, FolderFile, FolderProblem
from app.exchange.problem import JobFileProblem
from app.record.canonical import digest
from app.record.files import write_whole

if TYPE_CHECKING:
    from app.jobstore.archive import Archive, Deposit

TAKEN_FILE: Final = "folder-taken.json"
# A file has to stand still that long before it counts as whole.
STILL_S: Final = 2.0


class Dropped:
    """What lies in one folder: deposited once it is whole, put away once the archive has answered."""

    def __init__(
        self,
        archive: Archive,
        folder: Path,
        remembered: Path,
        *,
        clock: Callable[[], dt.datetime],
        wait: Callable[[float], None] = time.sleep,
    ) -> None:
        self._archive = archive
        self._folder = Folder(folder.expanduser(), remembered)
        self._clock = clock
        self._wait = wait
        self._looked = False
        self._left: dict[str, FolderFile] = {}

    def deposit(self) -> list[str]:
        """Leave every whole pack in the archive; a sentence for each file that cannot be read."""
        try:
            found = self._look()
        except FolderProblem as problem:
            return [problem.sentence]
        said = []
        for one in found:
            if one.state == "unreadable":
                said.append(f"{one.path.name}: {one.said_text}")
            elif one.kind == "pack":
                try:
                    data = signedfile.load(one.path)
                except JobFileProblem as problem:
                    said.append(problem.sentence)
                    continue
                if digest(data) == one.digest_hex:
                    self._archive.deposit(data, device_text=f"folder, {one.path.name}", at=self._clock())
                    self._left[one.digest_hex] = one
        return said

    def pass_on(self, deposit: Deposit) -> None:
        """Put a draft or a signed job into the folder, where the office's programs offer to take it in."""
        name = f"from the archive {deposit.digest_hex[:12]}.json"
        places = (self._folder.path / name, self._folder.path / TAKEN / name)
        if not any(place.exists() for place in places):
            write_whole(places[0], deposit.data)

    def put_away(self) -> None:
        """Put away what the archive has answered; what it refused stays where it lies."""
        for digest_hex, answer in self._archive.answers(list(self._left)).items():
            one = self._left.pop(digest_hex)
            if answer.outcome == "refused":
                self._folder.refuse(one, answer.sentence_text)
            else:
                self._folder.put_away(one)

    def _look(self) -> list[FolderFile]:
        if not self._looked:
            self._folder.look(time.time)
            self._wait(STILL_S)
            self._looked = True
        return self._folder.look(time.time)
