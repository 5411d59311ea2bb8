"""Files of this computer that wait to be left at the archive: drafts and signed jobs, on the disk until then.

A folder per job; what was passed on goes into `sent`, and what was said to a file stands beside it.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Final

from app.record.files import write_whole

SENT: Final = "sent"
_SAID: Final = ".said.txt"


class Outbox:
    """The files that wait, oldest name first; nothing is ever deleted."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def place_for(self, job_id: str, name: str) -> Path:
        """Where a file of a job is to be written."""
        home = self._folder / job_id
        home.mkdir(parents=True, exist_ok=True)
        return home / name

    def waiting(self) -> list[Path]:
        """The files that wait."""
        return sorted(path for path in self._folder.glob("*/*") if path.is_file() and path.suffix == ".json")

    def say(self, path: Path, sentence: str) -> None:
        """Keep what was said to a file; it waits on."""
        write_whole(path.with_name(path.name + _SAID), sentence.encode())

    def said_to(self, path: Path) -> str:
        """What was said to a file last; empty where nothing was."""
        with suppress(OSError):
            return path.with_name(path.name + _SAID).read_text("utf-8")
        return ""

    def put_away(self, path: Path) -> None:
        """A file that was passed on: it waits no more."""
        home = self._folder / SENT / path.parent.name
        home.mkdir(parents=True, exist_ok=True)
        path.replace(home / path.name)
        with suppress(OSError):
            path.with_name(path.name + _SAID).unlink(missing_ok=True)
