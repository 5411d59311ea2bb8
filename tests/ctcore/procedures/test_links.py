"""Links and earth as found and as left. Agreement, one earth, a second person: common practice, no source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from ctcore.findings import Finding
from ctcore.job import Core, Person, places
from ctcore.judge import judge_core
from ctcore.procedures import procedure
from ctcore.takes import takes_of
from tests.ctcore.conftest import tap

CORE = Core(
    core_id="L1", number=1, class_text="5P20 15 VA", taps=(tap("1S1-1S3", 600), tap("1S1-1S2", 300)),
    procedures=("links",),
)  # fmt: skip
STATES = {"link 1S1": "closed", "link 1S2": "open", "link 1S3": "closed", "earth": "closed"}


def key_all(sheet: Any, **left: str) -> Any:
    """A table that agrees, but for the rows named by their terminal."""
    place = dict.fromkeys(("earth_drawn_text", "earth_place_text", "earth_left_text"), "box 4, 1S3")
    sheet.key("links", **place, links_checked_text="Oda Venn")
    for row, state in STATES.items():
        sheet.key("links", row, link_found=state, link_left=left.get(row.removeprefix("link "), state))
    return sheet


def findings(sheet: Any) -> list[Finding]:
    job = replace(sheet.job, people=(Person(person_id="p1", name_text="T. Adder"),))
    found = judge_core(job, places(job)[0], takes_of(job.readings))
    return [one for one in found if one.procedure == "links"]


def of(sheet: Any, rule: str, row: str = "") -> Finding:
    return next(one for one in findings(sheet) if one.rule == rule and one.row == row)


@pytest.fixture
def sheet(worksheet: Callable[..., Any]) -> Any:
    return worksheet(taps=list(CORE.taps), procedures=("links",))


def test_every_terminal_of_the_plate_and_the_earth_have_a_row() -> None:
    assert [row.row for row in procedure("links").rows_of(CORE)] == [*STATES]


def test_a_table_that_agrees_is_within_and_counted(sheet: Any) -> None:
    key_all(sheet)

    assert {one.verdict for one in findings(sheet)} == {"within"}
    assert of(sheet, "links.count").text == "2 closed as found, 2 closed as left."


def test_a_link_left_otherwise_without_a_word_is_outside(sheet: Any) -> None:
    key_all(sheet, **{"1S3": "open"})

    assert of(sheet, "links.state", "link 1S3").verdict == "outside"
    assert "Say why they differ" in of(sheet, "links.state", "link 1S3").text
    assert of(sheet, "links.count").verdict == "refer"
    assert of(sheet, "links.count").text.startswith("2 closed as found, 1 closed as left.")


def test_a_difference_with_its_reason_is_for_somebody_to_decide(sheet: Any) -> None:
    key_all(sheet, **{"1S2": "closed"})
    sheet.key("links", "link 1S2", link_text="lower tap ordered in service, drawing rev. C")

    assert of(sheet, "links.state", "link 1S2").verdict == "refer"
    assert "drawing rev. C" in of(sheet, "links.state", "link 1S2").text


@pytest.mark.parametrize("found", ["closed", "open"])
def test_a_circuit_left_without_its_earth_is_outside_whatever_was_found(sheet: Any, found: str) -> None:
    key_all(sheet, earth="open")
    sheet.key("links", "earth", take=1, link_text="agreed")

    assert of(sheet, "links.state", "earth").verdict == "outside"


def test_an_earth_at_another_place_than_drawn_is_looked_into(sheet: Any) -> None:
    key_all(sheet)
    moved = next(one for one in sheet.readings if one.quantity_id == "earth_place_text")
    sheet.readings[sheet.readings.index(moved)] = replace(moved, value_text="relay panel 7")

    assert of(sheet, "links.earth_place").verdict == "refer"
    assert "found at relay panel 7" in of(sheet, "links.earth_place").text


def test_what_is_not_said_as_left_is_not_tested(sheet: Any) -> None:
    sheet.key("links", "link 1S1", link_found="closed")

    assert of(sheet, "links.state", "link 1S1").verdict == "not tested"
    assert "as left" in of(sheet, "links.state", "link 1S1").text
    assert of(sheet, "links.count").verdict == "not tested"
    assert of(sheet, "links.earth_place").verdict == "not tested"
    assert of(sheet, "links.checked").verdict == "not tested"


def test_the_second_person_is_not_the_one_who_keyed_it(sheet: Any) -> None:
    key_all(sheet)
    name = next(one for one in sheet.readings if one.quantity_id == "links_checked_text")
    sheet.readings[sheet.readings.index(name)] = replace(name, value_text="t. adder")

    assert of(sheet, "links.checked").verdict == "refer"


def test_a_core_whose_plate_names_no_terminals_still_has_its_earth(worksheet: Callable[..., Any]) -> None:
    assert [row.row for row in procedure("links").rows_of(replace(CORE, taps=()))] == ["earth"]
    bare = worksheet(taps=[])
    bare.key("links", "earth", link_found="closed", link_left="closed")

    assert of(bare, "links.state", "earth").verdict == "within"


def test_what_was_read_at_a_terminal_that_the_plate_names_no_more_is_told(sheet: Any) -> None:
    key_all(sheet)
    sheet.key("links", "link 1S9", link_found="closed", link_left="closed")

    assert of(sheet, "links.stranger", "link 1S9").verdict == "refer"
