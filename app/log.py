"""The log: what kind of thing happened, where in the program, how long it took. Never what was keyed, or who.

It can say nothing else: a line is made of one word of a fixed list, a place in the source and a number.
"""

from __future__ import annotations

import contextlib
import logging
import re
import time
from collections.abc import Callable
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import Any, Final, Literal

FOLDER: Final = "log"
FILE: Final = "coreleaf.log"
# With the three before it the log never takes more than one megabyte.
MOST_BYTES: Final = 250_000
BEFORE: Final = 3

Kind = Literal["start", "opened", "verb", "refused", "failed", "fault", "page", "restored", "stop"]
_PLACE: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_.<>:/-]*")
_ELSEWHERE: Final = "elsewhere"


class Log:
    """One file of lines in the data folder; a disk that takes none changes nothing else."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / FOLDER

    def note(self, kind: Kind, where: str = "", ms: float | None = None) -> None:
        """Write one line; `where` is a place in the program, and anything else becomes "elsewhere".

        The file is open for that line only, so that the folder can be moved at any time.
        """
        place = where if not where or _PLACE.fullmatch(where) else _ELSEWHERE
        took = "" if ms is None else f"{ms:.0f} ms"
        line = " ".join(part for part in (kind, place, took) if part)
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with contextlib.closing(_handler(self.folder / FILE)) as handler:
                handler.emit(logging.LogRecord("coreleaf", logging.INFO, "", 0, line, None, None))
        except OSError:
            return

    @staticmethod
    def files_in(folder: Path) -> list[Path]:
        """The files of the log in a data folder, the oldest first."""
        return sorted((folder / FOLDER).glob(f"{FILE}*"), reverse=True)


def _handler(path: Path) -> RotatingFileHandler:
    handler = _Quiet(path, maxBytes=MOST_BYTES, backupCount=BEFORE, encoding="utf-8")
    formatter = logging.Formatter("%(asctime)sZ %(message)s", "%Y-%m-%dT%H:%M:%S")
    formatter.converter = time.gmtime
    handler.setFormatter(formatter)
    return handler


class _Quiet(RotatingFileHandler):
    """A line that cannot be written is left out: no trouble of the log reaches who works."""

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802 - logging's own name
        """Say nothing."""


def place_of(verb: Callable[..., Any]) -> str:
    """Where in the source a function stands.

    >>> place_of(place_of)
    'app.log:place_of'
    """
    while hasattr(verb, "func"):
        verb = verb.func
    name = getattr(verb, "__qualname__", type(verb).__qualname__)
    return f"{getattr(verb, '__module__', '')}:{name}"
