"""A job in and out as one JSON file.

Format: {"format": "coreleaf-job", "version": 1, then the fields of `ctcore.job.Job`}; its JSON Schema is
`resources/job_file.schema.json`. Texts are UTF-8 without a byte order mark; an unknown number is null.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

from app import progress
from app.exchange import strictjson
from app.exchange.problem import JobFileProblem
from app.record.files import write_whole
from ctcore import job as model
from ctcore.errors import BadInput
from ctcore.job import FORMAT_VERSION, Job

FORMAT_NAME: Final = "coreleaf-job"


def load(path: Path | str) -> Job:
    """The job of a file; `JobFileProblem` says in one sentence what is not taken, and where."""
    path = Path(path)
    try:
        with path.open("rb") as file:
            data = file.read(strictjson.LARGEST_BYTES + 1)
    except OSError as problem:
        raise JobFileProblem(path.name, "", None, f"cannot be read: {_words(problem)}") from None
    return read(data, path.name)


def read(data: bytes, file_text: str = "job file") -> Job:
    """The job that these bytes hold; `file_text` names them in a refusal."""
    try:
        return _read(data)
    except BadInput as problem:
        raise JobFileProblem(file_text, problem.quantity, problem.value, problem.reason) from None


def to_bytes(job: Job) -> bytes:
    """The job as the bytes of a file; `JobFileProblem` where they could not be read again as the same job."""
    plain = {"format": FORMAT_NAME, "version": FORMAT_VERSION, **model.to_plain(job)}
    try:
        data = json.dumps(plain, ensure_ascii=False, indent=1, allow_nan=False).encode("utf-8") + b"\n"
    except ValueError as problem:
        raise JobFileProblem("job file", "job", None, f"cannot be written: {problem}") from None
    if read(data) != job:
        raise JobFileProblem("job file", "job", None, "cannot be written: it reads back as another job")
    return data


def save(job: Job, path: Path | str) -> None:
    """Write the job in one step: after it the whole new file stands there, or what stood there before.

    `JobFileProblem` says what failed.
    """
    path = Path(path)
    data = to_bytes(job)
    progress.write_whole()
    try:
        write_whole(path, data)
    except OSError as problem:
        reason = f"cannot be written: {_words(problem)}; what stood there before is untouched"
        raise JobFileProblem(path.name, "", None, reason) from None


def _read(data: bytes) -> Job:
    plain = strictjson.parse(data)
    _refuse_other_formats(plain)
    # Qt: the window imports this file before its first paint; pydantic and the tests' tables can wait.
    from app.exchange import coherence, schema

    schema.check(data)
    job = model.from_plain(plain)
    for place, value, reason in coherence.faults(job):
        raise BadInput(place, value, reason)
    return job


def _refuse_other_formats(plain: Any) -> None:
    if not isinstance(plain, dict):
        raise BadInput("", None, "is no job file: a group of named values is wanted")
    if plain.get("format") != FORMAT_NAME:
        raise BadInput("format", plain.get("format"), f'is no job file: its format is not "{FORMAT_NAME}"')
    version = plain.get("version")
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise BadInput("version", version, "a whole number from 1 up is wanted")
    if version > FORMAT_VERSION:
        reason = f"made by a newer Coreleaf, version {version}; this one reads up to version {FORMAT_VERSION}"
        raise BadInput("version", None, reason)


def _words(problem: OSError) -> str:
    return (problem.strerror or type(problem).__name__).lower()
