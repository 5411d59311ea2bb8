from __future__ import annotations

import json

import pytest

from app.record import papers
from app.record.canonical import canonical
from app.record.papers import NAMES, NEEDED, NOT_COVERED, Papers
from app.record.problem import Altered, CannotTell
from tests.app.record.signed_scene import revision_of


def issued() -> bytes:
    return revision_of().papers.issued or b""


def changed(**changes: object) -> bytes:
    return canonical({**json.loads(issued()), **changes})


def test_every_file_has_a_field_and_the_reverse() -> None:
    assert sorted([*NAMES.values(), "attached"]) == sorted(Papers.__dataclass_fields__)


def test_an_issue_covers_every_file_but_itself_and_the_list() -> None:
    its = papers.from_bytes(issued())

    assert set(its.files) == set(NAMES) - set(NOT_COVERED)
    assert set(NEEDED) <= set(its.files)


def test_an_issue_comes_back_in_the_same_bytes() -> None:
    assert papers.to_bytes(papers.from_bytes(issued())) == issued()


def test_an_issue_of_a_newer_program_is_not_guessed_at() -> None:
    with pytest.raises(CannotTell, match="newer"):
        papers.from_bytes(changed(version=2, chapters=[]))


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"[]",
        b"{}",
        issued() + b"\n",
        issued().replace(b'"revision":1', b'"revision":1,"revision":1'),
        changed(decision="perhaps"),
        changed(number_text=7),
        changed(tested={}),
        changed(tested=[]),
        changed(files=[]),
        changed(revision="1"),
        changed(revision=None),
        changed(format="other"),
        changed(colour="red"),
    ],
)
def test_what_is_no_issue_in_the_one_form_is_altered(data: bytes) -> None:
    with pytest.raises(Altered, match="form"):
        papers.from_bytes(data)
