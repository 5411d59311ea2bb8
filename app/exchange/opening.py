"""A job out of whatever holds one: a job file, or a sheet, which carries what it was printed from."""

from __future__ import annotations

from pathlib import Path

from app.exchange import jobfile, signedfile
from app.exchange.problem import JobFileProblem
from app.record.problem import Altered, CannotTell
from ctcore.errors import BadInput
from ctcore.job import Job


def load(path: Path | str) -> Job:
    """The job of a file; `JobFileProblem` says in one sentence why there is none to take."""
    path = Path(path)
    data = signedfile.load(path)
    return (
        _of_sheet(data, path.name) if signedfile.kind_of(data) == "sheet" else jobfile.read(data, path.name)
    )


def _of_sheet(data: bytes, file_text: str) -> Job:
    from app.record import revision, sheet_job

    try:
        found = sheet_job.inside(data)
        return revision.from_bytes(found.data).job if found.is_record else jobfile.read(found.data, file_text)
    except (Altered, CannotTell) as problem:
        raise JobFileProblem(file_text, "", None, problem.sentence) from None
    except JobFileProblem:
        raise
    except BadInput as problem:
        raise JobFileProblem(file_text, problem.quantity, problem.value, problem.reason) from None
