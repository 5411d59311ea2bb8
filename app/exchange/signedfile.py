"""Signed files on their way: read up to a size, written whole; what they hold is for the record to judge."""

from __future__ import annotations

from pathlib import Path
from typing import Final, Literal

from app import progress
from app.exchange.problem import JobFileProblem
from app.record.draft import FORMAT as DRAFT_FORMAT
from app.record.files import write_whole
from app.record.pack import ZIP_MARK
from app.record.sheet_reading import PDF_MARK
from app.record.signed_job import FORMAT

Kind = Literal["signed job", "pack", "sheet", "draft", "job file"]

LARGEST_BYTES: Final = 128 * 1024 * 1024


def load(path: Path) -> bytes:
    """The bytes of a file; `JobFileProblem` says in one sentence why they are not taken."""
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except OSError as problem:
        raise JobFileProblem(path.name, "", None, f"cannot be read: {_words(problem)}") from None
    if len(data) > LARGEST_BYTES:
        reason = f"is larger than {LARGEST_BYTES >> 20} MB; no signed file of this program is"
        raise JobFileProblem(path.name, "", None, reason)
    return data


def kind_of(data: bytes) -> Kind:
    """What a file says it is; whatever is none of the other kinds is left to the reader of job files.

    >>> kind_of(b'{"files":{},"format":"coreleaf-signed-job","version":1}')
    'signed job'
    """
    if data.startswith(ZIP_MARK):
        return "pack"
    if data.startswith(PDF_MARK):
        return "sheet"
    # Format: in canonical form the names stand in order, so the format comes after the files.
    end = data[-4096:]
    if f'"format":"{DRAFT_FORMAT}","from_text":'.encode() in end:
        return "draft"
    return "signed job" if f'"format":"{FORMAT}"'.encode() in end else "job file"


def save(path: Path, data: bytes) -> None:
    """Write the bytes in one step; `JobFileProblem` where they cannot be written."""
    progress.write_whole()
    try:
        write_whole(path, data)
    except OSError as problem:
        reason = f"cannot be written: {_words(problem)}; what stood there before is untouched"
        raise JobFileProblem(path.name, "", None, reason) from None


def _words(problem: OSError) -> str:
    return (problem.strerror or type(problem).__name__).lower()
