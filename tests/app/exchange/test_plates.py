"""A list of plates: what its columns are taken for, what its rows give, and which are left out and why."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.exchange import plates, tables
from app.exchange.plates import PlatesPreview


def look(text: str, *, mapping: list[str] | None = None, decimal_comma: bool | None = None) -> PlatesPreview:
    """The preview of a list, its ids numbered."""
    ids = (f"i{number}" for number in itertools.count(1))
    return plates.preview(
        tables.from_text(text),
        mapping=mapping,
        decimal_comma=decimal_comma,
        new_id=lambda: next(ids),
        phase_names=("L1", "L2", "L3"),
    )


BOARD = (
    "Position\tPhase\tSerial no.\tCore\tClass\tRatio\tRct [ohm]\n"
    "Bay 1\tL1\t70311\t1\tPX Ek 250 V Ie 30 mA Rct 3 ohm\t600/1\t3\n"
    "\t\t\t2\t5P20 15 VA\t600-300/1\t\n"
    "\tL2\t70312\t1\tPX Ek 250 V Ie 30 mA Rct 3 ohm\t600/1\t3\n"
    "Bay 2\tL1\t70321\t1\t0.5S FS5 10 VA\t1.2 kA/5 A\t\n"
)


def test_a_list_becomes_positions_transformers_and_cores() -> None:
    seen = look(BOARD)
    shape = [
        (position.name_text, [(ct.phase_text, ct.serial_text, len(ct.cores)) for ct in position.cts])
        for position in seen.positions
    ]
    assert shape == [("Bay 1", [("L1", "70311", 2), ("L2", "70312", 1)]), ("Bay 2", [("L1", "70321", 1)])]
    assert (seen.core_count, seen.refused_count) == (4, 0)


def test_a_ratio_of_several_currents_gives_a_tap_each() -> None:
    core = look(BOARD).positions[0].cts[0].cores[1]
    assert [(tap.terminals_text, tap.i_primary_rated_a) for tap in core.taps] == [
        ("2S1-2S3", 600.0),
        ("2S1-2S2", 300.0),
    ]


def test_currents_are_read_with_their_units() -> None:
    tap = look(BOARD).positions[1].cts[0].cores[0].taps[0]
    assert (tap.i_primary_rated_a, tap.i_secondary_rated_a) == (1200.0, 5.0)


def test_sister_phases_share_the_ids_of_their_taps() -> None:
    first, second = look(BOARD).positions[0].cts
    assert first.cores[0].taps[0].tap_id == second.cores[0].taps[0].tap_id


def test_rows_of_terminals_gather_into_one_winding() -> None:
    seen = look(
        "Bay\tPhase\tCore\tTerminals\tPrimary\tSecondary\tTurns\n"
        "A\tL1\t1\tX1-X5\t1200\t5\t240\nA\tL1\t1\tX1-X2\t200\t5\t40\n"
    )
    core = seen.positions[0].cts[0].cores[0]
    assert [(tap.terminals_text, tap.turns_secondary_count) for tap in core.taps] == [
        ("X1-X5", 240.0),
        ("X1-X2", 40.0),
    ]


def test_one_row_stands_for_every_phase_it_names_and_for_all_where_it_names_none() -> None:
    named = look("Bay\tPhase\tRatio\nA\tL1 L3\t600/1\n").positions[0].cts
    unnamed = look("Bay\tRatio\nA\t600/1\n").positions[0].cts
    assert [ct.phase_text for ct in named] == ["L1", "L3"]
    assert [ct.phase_text for ct in unnamed] == ["L1", "L2", "L3"]


def test_a_burden_of_a_column_of_its_own_joins_the_class() -> None:
    seen = look("Bay\tClass\tBurden VA\tRatio\nA\t5P20\t15\t600/1\n")
    assert seen.positions[0].cts[0].cores[0].class_text == "5P20 15 VA"


@pytest.mark.parametrize(
    ("row", "field", "reason"),
    [
        ("A\tL1\t1\t5P2O\t600/1", "class", ""),
        ("A\tL1\t1\t5P20\t6oo/1", "ratio", "oo is no unit"),
        ("A\tL1\t1\t5P20\t600", "ratio", "is written as 600/1"),
        ("A\tL1\t1\t5P20\t0/1", "ratio", "above zero"),
        ("A\tL1\t1.5\t5P20\t600/1", "core", "whole number"),
        ("A\tL1\t1\t5P20\t1,234/1", "ratio", "two readings"),
        ("\tL1\t1\t5P20\t600/1", "position", "no position"),
    ],
)
def test_a_row_with_a_cell_that_is_refused_is_left_out_with_its_reason(
    row: str, field: str, reason: str
) -> None:
    seen = look(f"Bay\tPhase\tCore\tClass\tRatio\n{row}\nB\tL1\t1\t5P20\t600/1\n")
    assert (seen.rows[0].bad_field, seen.refused_count, seen.core_count) == (field, 1, 1)
    assert reason in seen.rows[0].reason


def test_the_decimal_mark_of_the_worksheet_settles_a_comma() -> None:
    seen = look("Bay\tRatio\nA\t1,250/1\n", decimal_comma=True)
    assert seen.positions[0].cts[0].cores[0].taps[0].i_primary_rated_a == 1.25


def test_a_row_that_contradicts_one_above_is_left_out() -> None:
    seen = look(
        "Bay\tPhase\tSerial\tCore\tClass\tRatio\nA\tL1\t1\t1\t5P20\t600/1\n"
        "A\tL1\t2\t2\t5P20\t600/1\nA\tL1\t1\t1\t5P10\t600/1\nA\tL1\t1\t1\t5P20\t600/1\n"
    )
    assert [row.reason for row in seen.rows] == [
        "",
        "serial number 1 stands for this transformer already",
        "core 1 has the class 5P20 already",
        "1S1-1S2 of core 1 stands twice",
    ]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("a\tb\n1\t2\n", "No column is known by its heading"),
        ("Phase\tRatio\nL1\t600/1\n", "No column holds the position"),
        ("Bay\tPhase\nA\tL1\n", "No column holds the ratio"),
        ("", "nothing to take"),
    ],
)
def test_a_list_without_what_is_needed_says_what(text: str, sentence: str) -> None:
    seen = look(text)
    assert sentence in seen.refusal_text
    assert seen.positions == ()


def test_columns_can_be_said_to_hold_something_else() -> None:
    seen = look("Ort\tÜbersetzung\nA\t600/1\n", mapping=["position", "ratio"])
    assert seen.positions[0].name_text == "A"


def test_a_column_is_taken_once() -> None:
    assert plates.guess(["Bay", "Position", "Ratio"]) == ["position", "", "ratio"]


@given(st.lists(st.lists(st.text(max_size=12), min_size=5, max_size=5), max_size=6))
def test_whatever_stands_in_the_cells_is_shown_or_refused_and_never_raised(rows: list[list[str]]) -> None:
    table = tables.of_cells([["Bay", "Phase", "Core", "Class", "Ratio"], *rows])
    ids = itertools.count(1)
    seen = plates.preview(table, new_id=lambda: str(next(ids)))
    cores = [core for position in seen.positions for ct in position.cts for core in ct.cores]
    assert all(core.taps for core in cores)
