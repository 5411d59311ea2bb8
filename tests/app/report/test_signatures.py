"""Places for signatures and approval on a sheet that is to be signed, and what is put into them."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from app.record.sheet_signing import SIGNATURE_FIELDS, TEXT_FIELDS
from app.report.pen import Spot
from app.report.pictures import picture
from app.report.sheet import SheetInput, render, render_with_spots
from ctcore.job import Deviation, Person
from tests.app.report.making import frozen, set_of
from tests.app.report.reading_back import flat, overlapping, text_of, words_of

SPOT = Spot("ApprovalConcessions", 0, 100.0, 100.0, 400.0, 160.0)


@pytest.fixture
def to_sign() -> SheetInput:
    return frozen(set_of(("L1",)), signed=True)


def test_a_sheet_to_be_signed_has_a_place_for_each_signature_and_text(to_sign: SheetInput) -> None:
    _, spots = render_with_spots(to_sign)

    assert sorted(one.name for one in spots) == sorted((*SIGNATURE_FIELDS, *TEXT_FIELDS))


def test_the_places_stand_on_one_page_and_apart(to_sign: SheetInput) -> None:
    _, spots = render_with_spots(to_sign)

    overlapping = [
        (one.name, other.name)
        for number, one in enumerate(spots)
        for other in spots[number + 1 :]
        if one.left < other.right - 0.1
        and other.left < one.right - 0.1
        and one.lower < other.upper - 0.1
        and other.lower < one.upper - 0.1
    ]
    assert len({one.page for one in spots}) == 1
    assert overlapping == []


def test_a_sheet_that_is_not_signed_says_so_and_has_no_places(to_sign: SheetInput, tmp_path: Path) -> None:
    plain = dataclasses.replace(to_sign, signed=False)

    assert render_with_spots(plain)[1] == ()
    assert "frozen, not cryptographically signed" in flat(text_of(render(plain), tmp_path))


def test_a_sheet_that_is_signed_does_not_say_that_it_is_not(to_sign: SheetInput, tmp_path: Path) -> None:
    told = flat(text_of(render(to_sign), tmp_path))

    assert "not cryptographically signed" not in told
    assert "signed in this file; a print carries no signature" in told


def test_a_picture_holds_the_text_at_the_size_of_its_place(tmp_path: Path) -> None:
    made = picture("1. S1 L1 core 1: lead known (M. O.)\n2. S2: owner agreed", SPOT)

    assert made is not None
    assert "owner agreed" in flat(text_of(made, tmp_path))


def test_a_text_that_does_not_fit_gives_no_picture() -> None:
    assert picture("because " * 400, SPOT) is None


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ({"decision": "concession", "decision_text": "lead known"}, "concession: lead known"),
        ({"decision": "accepted", "decision_text": ""}, "accepted as it is"),
        ({"decision_text": "retest in May"}, "retest in May"),
        ({}, "open: nothing decided yet"),
    ],
)
def test_a_decision_is_printed_with_its_word_and_reason(
    to_sign: SheetInput, tmp_path: Path, entry: dict[str, str], words: str
) -> None:
    made = Deviation(deviation_id="d", core_id="", procedure_id="", found_text="much", **entry)  # type: ignore[arg-type]
    given = dataclasses.replace(to_sign, job=dataclasses.replace(to_sign.job, deviations=(made,)))

    assert words in flat(text_of(render(given), tmp_path))


def _with_witnesses(given: SheetInput, count: int) -> SheetInput:
    people = tuple(
        Person(person_id=f"w{number}", name_text=f"R. Tamsey {number}", witnessed=("ratio",))
        for number in range(1, count + 1)
    )
    return dataclasses.replace(given, job=dataclasses.replace(given.job, people=people))


@pytest.mark.parametrize("signed", [True, False])
def test_a_witness_is_named_where_the_witness_signs(
    to_sign: SheetInput, signed: bool, tmp_path: Path
) -> None:
    given = dataclasses.replace(_with_witnesses(to_sign, 1), signed=signed)
    first = flat(text_of(render(given), tmp_path).split("\f")[0])

    assert "Witnessed by R. Tamsey 1" in first
    assert "Signature, date" in first


def test_further_witnesses_are_counted_and_named_among_the_people(
    to_sign: SheetInput, tmp_path: Path
) -> None:
    pdf = render(_with_witnesses(to_sign, 4))

    assert "and 2 more, named under “People”" in flat(text_of(pdf, tmp_path))
    assert "R. Tamsey 4" in text_of(pdf, tmp_path)
    assert overlapping(words_of(pdf, tmp_path)) == []
