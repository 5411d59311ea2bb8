"""Drafts of one job out of several files made into one, without a store: the rules are those of a merge."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import reduce
from pathlib import Path
from typing import Final

from app.desk.along import record_of
from app.desk.drafts import Coming, as_written, questions_count, read_draft
from app.desk.merging import Form, Unlike, united
from app.desk.two_stores import counted
from app.desk.view import Refusal
from app.record.canonical import digest
from app.record.draft import Draft
from ctcore.job import Job

_SIGNED: Final = "is signed, and what is signed is not merged: hand the job out as a draft."
_NOT_MERGED: Final = {
    "job file": "is no draft; without its trail nobody can tell what is newer: hand the job out as a draft.",
    "signed job": _SIGNED,
    "pack": _SIGNED,
    "sheet": "is a sheet, and a sheet is not merged: hand the job out as a draft.",
}
# Of two files of one revision the one that says more is kept.
_RANK: Final = ("job file", "signed job", "pack")


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """The draft that came of it, as bytes, with what a person wants to know of it."""

    data: bytes
    job: Job
    questions_count: int


def merged_files(paths: Sequence[Path], tell: Callable[[str], None]) -> Together:
    """One draft of all files, the same in whatever order they are named; Refusal where they do not fit."""
    from app.exchange import jobfile
    from app.record import draft, trail

    coming = [_read(path, tell) for path in paths]
    try:
        with as_written():
            form = reduce(united, (one.form for one in coming))
    except Unlike as problem:
        raise Refusal(f"The files are as they were: they cannot be merged. {problem.sentence}") from problem
    _tell_new(coming, form, tell)
    attached = {name: data for one in coming for name, data in one.draft.attached.items()}
    data = draft.to_bytes(
        Draft(
            from_text=", ".join(sorted({name for one in coming for name in one.draft.from_text.split(", ")})),
            job=jobfile.to_bytes(form.job),
            events=trail.to_bytes(form.events),
            attached=attached,
            revisions=_revisions(coming),
        )
    )
    return Together(data=data, job=form.job, questions_count=questions_count(form.job))


def _read(path: Path, tell: Callable[[str], None]) -> Coming:
    from app.exchange import signedfile

    data = signedfile.load(path)
    kind = signedfile.kind_of(data)
    if kind != "draft":
        raise Refusal(f"The files are as they were: {path.name} {_NOT_MERGED[kind]}")
    try:
        coming = read_draft(path.name, data)
    except Refusal as problem:
        raise Refusal(f"The files are as they were. {path.name}: {problem.sentence}") from problem
    job = coming.form.job
    if job.header.training:
        raise Refusal(f"The files are as they were: {path.name} was made in training and is not a record.")
    readings = counted(len(job.readings), "reading", "readings")
    tell(f"{path.name}: job {job.header.number_text} from {coming.draft.from_text}, {readings}")
    return coming


def _tell_new(coming: Sequence[Coming], form: Form, tell: Callable[[str], None]) -> None:
    for one in coming:
        more = len(form.job.readings) - len(one.form.job.readings)
        tell(f"{one.file_text}: {counted(more, 'reading', 'readings')} of the others it did not have")


def _revisions(coming: Sequence[Coming]) -> dict[int, bytes]:
    """The frozen revisions of all; Refusal where two with one number say different things."""
    found: dict[int, bytes] = {}
    for one in coming:
        for number, data in one.draft.revisions.items():
            known = found.setdefault(number, data)
            if digest(record_of(known)) != digest(record_of(data)):
                raise Refusal(
                    f"The files are as they were: revision {number} of this job was frozen on two computers "
                    "and says different things. Void one of them, or go on with one file alone."
                )
            found[number] = max(known, data, key=_weight)
    return found


def _weight(data: bytes) -> tuple[int, int, bytes]:
    from app.exchange import signedfile

    return (_RANK.index(signedfile.kind_of(data)), len(data), data)
