from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache

import pytest

from app.record import signed_job, trail
from app.record.canonical import canonical
from app.record.problem import CannotTell
from app.record.signed_job import SignedJob
from tests.app.record.signed_scene import events, revision_of

ITS = revision_of()


@cache
def job() -> SignedJob:
    return SignedJob(record=ITS.record, tested=ITS.tested, events=trail.to_bytes(events()))


def changed(**changes: object) -> bytes:
    return canonical({**json.loads(signed_job.to_bytes(job())), **changes})


def test_a_job_comes_back_from_its_file() -> None:
    assert signed_job.from_bytes(signed_job.to_bytes(job())) == job()


def test_an_answer_goes_back_with_the_job() -> None:
    back = signed_job.with_answer(job(), b"answer", b"signature")

    assert signed_job.from_bytes(signed_job.to_bytes(back)) == back


def test_a_file_of_another_format_is_none() -> None:
    with pytest.raises(CannotTell, match="no signed job"):
        signed_job.from_bytes(changed(format="other"))


def test_a_job_of_a_newer_program_is_not_guessed_at() -> None:
    with pytest.raises(CannotTell, match="newer"):
        signed_job.from_bytes(changed(version=2))


@pytest.mark.parametrize(
    "made",
    [
        lambda: b"",
        lambda: b"[]",
        lambda: b"{}",
        lambda: signed_job.to_bytes(job()) + b"\n",
        lambda: changed(files={}),
        lambda: changed(files=[]),
        lambda: changed(files={"strange": ""}),
        lambda: changed(files={"record.json": "no base64", "record.p7s": ""}),
        lambda: changed(files={"record.json": 7, "record.p7s": ""}),
    ],
)
def test_a_damaged_file_is_called_so(made: Callable[[], bytes]) -> None:
    with pytest.raises(CannotTell, match="damaged"):
        signed_job.from_bytes(made())
