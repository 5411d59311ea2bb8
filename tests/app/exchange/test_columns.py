"""What a person says of a block: its columns and units, its line of headings, its decimal mark."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.exchange import mappings, tables, tsv
from app.exchange.columns import ROWS, Layout
from app.exchange.tsv import Preview
from ctcore.entry import parse

VOLTS, AMPERES = "v_excitation_v", "i_excitation_a"
UNITS = {VOLTS: "V", AMPERES: "mA"}


def look(text: str, layout: Layout, *, decimal_comma: bool | None = None) -> Preview:
    names = [str(number) for number in range(1, 10)]
    return tsv.preview(text, [VOLTS, AMPERES], rows=names, decimal_comma=decimal_comma, layout=layout)


def test_told_columns_go_where_they_were_told_in_the_unit_told() -> None:
    seen = look("x\t1.2\t0.02\n", Layout(columns=(("", ""), (AMPERES, "A"), (VOLTS, "kV"))))
    assert seen.entries() == [("1", AMPERES, "1.2 A"), ("1", VOLTS, "0.02 kV")]


def test_a_unit_of_another_dimension_is_not_followed() -> None:
    assert look("10\n", Layout(columns=((VOLTS, "mA"),))).columns[0].unit == "V"


def test_a_layout_of_another_width_is_left_aside() -> None:
    assert look("10\t1.2\n", Layout(columns=((AMPERES, "mA"),))).columns[0].quantity_id == VOLTS


def test_a_told_column_of_row_words_is_followed() -> None:
    layout = Layout(columns=(("r_measured_ohm", "ohm"), (ROWS, "")))
    seen = tsv.preview(
        "2.6\tB\n1.3\tA\n9\tC\n",
        ["r_measured_ohm"],
        rows=["a"],
        row_words={"A": "a", "B": "b"},
        layout=layout,
    )
    assert seen.entries() == [("b", "r_measured_ohm", "2.6"), ("a", "r_measured_ohm", "1.3")]


def test_words_above_the_headings_are_left_out_and_a_line_of_units_belongs_to_them() -> None:
    seen = look("Serial\t77\t\nU\tI\t\n[V]\t[A]\t\n20\t0.003\t\n", Layout())
    assert (seen.heading_line, seen.entries()) == (2, [("1", VOLTS, "20"), ("1", AMPERES, "0.003 A")])


def test_a_line_told_to_head_the_columns_does_so() -> None:
    assert look("10\t1\n20\t2\n", Layout(heading_line=1)).entries()[0] == ("1", VOLTS, "20")


@pytest.mark.parametrize(
    ("text", "setting", "asks"),
    [
        ("10,5\t1.2\n", None, True),
        ("10.5\t1.2\n", True, True),
        ("10,5\t1,2\n", False, True),
        ("1.234,5\t1.2\n", None, True),
        ("10,5\t1,2\n", None, False),
        ("10.5\t1.2\n", None, False),
        ("1,234\t1.2\n", False, False),
        ("note, with comma\t1.2\n", None, False),
    ],
)
def test_two_decimal_marks_in_one_block_are_asked_for(text: str, setting: bool | None, asks: bool) -> None:
    seen = look(text, Layout(), decimal_comma=setting)
    assert (seen.asks_mark, seen.entries() == []) == (asks, asks)


def test_a_told_mark_is_keyed_with_the_mark_of_the_worksheet() -> None:
    seen = look("1.234,5\t0,5\n", Layout(decimal_comma=True), decimal_comma=False)
    assert seen.entries() == [("1", VOLTS, "1234.5"), ("1", AMPERES, "0.5")]


@given(
    st.text(alphabet="0123456789.,eE+-<>kmMVA \t\nµ", max_size=60),
    st.sampled_from([None, True, False]),
    st.sampled_from([None, True, False]),
    st.sampled_from(["V", "kV", "mV"]),
)
def test_what_is_keyed_under_a_layout_reads_as_what_was_shown(
    text: str, sheet: bool | None, block: bool | None, unit: str
) -> None:
    layout = Layout(columns=((VOLTS, unit), (AMPERES, "A")), heading_line=0, decimal_comma=block)
    seen = look(text, layout, decimal_comma=sheet)
    shown = {
        (row.row, column.quantity_id): float(cell.value_text or "nan")
        for row in seen.rows
        for column, cell in zip(seen.columns, row.cells, strict=True)
    }
    keyed = {
        (row, name): parse(typed, UNITS[name], decimal_comma=sheet).value
        for row, name, typed in seen.entries()
    }
    assert keyed == {place: shown[place] for place in keyed}


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        ("10,5\n20,5\n", True),
        ("Volts,Current\n10,5,1,2\n", True),
        ("Volts,Current\n10,5\n", False),
        ("10.5,1.2\n20.5,1.9\n", False),
        ("10;5\n", False),
    ],
)
def test_commas_that_could_be_decimal_marks_are_in_doubt(text: str, doubt: bool) -> None:
    assert tables.from_text(text).mark_in_doubt is doubt


def test_what_parts_the_columns_can_be_told() -> None:
    assert tables.from_text("10,5\n", mark=";").rows == (("10,5",),)


def test_a_cell_with_a_quotation_mark_survives_as_tabs() -> None:
    table = tables.of_cells([['"a', "1"]])
    assert tsv.lines(table.as_tabs()) == ("", [['"a', "1"]])


def test_layouts_are_known_by_headings_and_instrument(tmp_path: Path) -> None:
    first = Layout(columns=((VOLTS, "kV"),), decimal_comma=True)
    second = Layout(columns=((VOLTS, "mV"),))
    mappings.remember_layout(tmp_path, "excitation", "logger", ["Ch1"], first)
    mappings.remember_layout(tmp_path, "excitation", "meter", ["Ch1"], second)
    found = mappings.recognised(tmp_path, "excitation", [["Serial 7"], [" ch1 "]])
    assert found == (2, {"logger": first, "meter": second})
    assert mappings.recognised(tmp_path, "ratio", [["Ch1"]]) == (0, {})
