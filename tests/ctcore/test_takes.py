"""Readings gathered into cells, rows and takes."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.takes import EMPTY_CELL, takes_of


def take_of(sheet: Any) -> Any:
    return takes_of(sheet.readings)["c1", "resistance"][0]


def test_a_correction_stands_in_place_of_what_it_supersedes(worksheet: Any) -> None:
    sheet = worksheet()
    first = sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.0")
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.1", supersedes_id=first.reading_id)

    cell = take_of(sheet).row("S1-S2").cell("r_measured_ohm")

    assert (cell.number, len(cell.readings), cell.disputed) == (2.1, 2, False)


def test_two_standing_readings_are_in_dispute_and_give_no_number(worksheet: Any) -> None:
    sheet = worksheet()
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.0")
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.1")

    cell = take_of(sheet).row("S1-S2").cell("r_measured_ohm")

    assert (cell.disputed, cell.number, cell.current) == (True, None, None)


def test_a_struck_row_has_no_number_and_says_that_it_is_struck(worksheet: Any) -> None:
    sheet = worksheet()
    first = sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.0")
    sheet.add(
        "resistance",
        "S1-S2",
        "r_measured_ohm",
        "",
        value_text=None,
        struck=True,
        supersedes_id=first.reading_id,
    )

    row = take_of(sheet).row("S1-S2")

    assert (row.struck, row.cell("r_measured_ohm").number) == (True, None)


def test_a_row_of_which_one_cell_is_struck_is_not_struck(worksheet: Any) -> None:
    sheet = worksheet()
    sheet.add("resistance", "S1-S2", "i_test_a", "1")
    first = sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.0")
    sheet.add(
        "resistance",
        "S1-S2",
        "r_measured_ohm",
        "",
        value_text=None,
        struck=True,
        supersedes_id=first.reading_id,
    )

    assert not take_of(sheet).row("S1-S2").struck


def test_a_row_withdrawn_by_undo_is_gone(worksheet: Any) -> None:
    sheet = worksheet()
    first = sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.0")
    sheet.add(
        "resistance",
        "S1-S2",
        "r_measured_ohm",
        "",
        value_text=None,
        withdrawn=True,
        supersedes_id=first.reading_id,
    )

    take = take_of(sheet)

    assert (take.rows, take.row("S1-S2").struck) == ((), False)


@pytest.mark.parametrize("text", ["nan", "inf", "-inf", "2,1", ""])
def test_what_is_no_finite_number_is_none(worksheet: Any, text: str) -> None:
    sheet = worksheet()
    sheet.add("resistance", "S1-S2", "r_measured_ohm", text)

    assert take_of(sheet).row("S1-S2").cell("r_measured_ohm").number is None


def test_rows_keep_the_order_of_their_first_entry(worksheet: Any) -> None:
    sheet = worksheet()
    for row in ("2", "1", "3", "1"):
        sheet.add("resistance", row, "i_test_a", "1")

    assert [row.row for row in take_of(sheet).rows] == ["2", "1", "3"]


def test_takes_stand_in_the_order_of_their_numbers(worksheet: Any) -> None:
    sheet = worksheet()
    for take in (2, 1):
        sheet.key("resistance", take=take, leads="four_wire")

    assert [take.take for take in takes_of(sheet.readings)["c1", "resistance"]] == [1, 2]


def test_a_cell_that_nobody_entered_is_empty(worksheet: Any) -> None:
    sheet = worksheet()
    sheet.key("resistance", leads="four_wire")

    cell = take_of(sheet).row("S1-S2").cell("r_measured_ohm")

    assert (cell, cell.empty, cell.value_text, cell.number) == (EMPTY_CELL, True, None, None)


def test_a_word_is_kept_as_its_value(worksheet: Any) -> None:
    sheet = worksheet()
    sheet.key("resistance", leads="four_wire")

    assert take_of(sheet).method.cell("leads").value_text == "four_wire"
