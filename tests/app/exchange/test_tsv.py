"""What a block pasted from a spreadsheet is taken for, and what of it is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.exchange import tsv
from app.exchange.tsv import Preview

VOLTS, AMPERES = "v_excitation_v", "i_excitation_a"


def look(text: str, *, rows: int = 9, decimal_comma: bool | None = None) -> Preview:
    """The preview of an excitation table from its first field on."""
    names = [str(number) for number in range(1, rows + 1)]
    return tsv.preview(text, [VOLTS, AMPERES], rows=names, decimal_comma=decimal_comma)


def taken(seen: Preview) -> list[str | None]:
    return [column.quantity_id for column in seen.columns]


def test_columns_without_headings_are_taken_in_the_order_of_the_worksheet() -> None:
    seen = look("10\t1.2\n20\t1.9\n")
    assert taken(seen) == [VOLTS, AMPERES]
    assert seen.entries() == [
        ("1", VOLTS, "10"),
        ("1", AMPERES, "1.2"),
        ("2", VOLTS, "20"),
        ("2", AMPERES, "1.9"),
    ]


def test_headings_with_units_find_their_columns_in_any_order() -> None:
    seen = look("I [mA]\tU [V]\n1.2\t10\n")
    assert (taken(seen), seen.has_headings) == ([AMPERES, VOLTS], True)


def test_headings_by_name_find_their_columns() -> None:
    assert taken(look("Current\tVolts\n1.2\t10\n")) == [AMPERES, VOLTS]


@pytest.mark.parametrize("heading", ["U/V", "U (V)", "U in V", "V", "U [V]"])
def test_a_unit_is_found_however_the_heading_writes_it(heading: str) -> None:
    assert look(f"{heading}\tI / mA\n10\t1.2\n").columns[0].taken_by == "unit"


def test_numbers_under_a_heading_of_another_unit_take_it_along() -> None:
    seen = look("U [V]\tI [A]\n10\t0.0012\n")
    assert seen.rows[0].cells[1].value_text == "0.0012"
    assert seen.entries()[1] == ("1", AMPERES, "0.0012 A")
    assert seen.columns[1].reason == "by its unit, numbers in A"


def test_a_cell_that_states_its_own_unit_keeps_it() -> None:
    assert look("U [V]\tI [A]\n10\t1.2 mA\n").rows[0].cells[1].value_text == "0.0012"


def test_a_heading_of_a_foreign_unit_is_taken_for_nothing() -> None:
    seen = look("t [degC]\tI [mA]\n20\t1.2\n")
    assert seen.columns[0].quantity_id is None
    assert seen.columns[0].reason == "degC is no unit of exciting voltage"


def test_a_column_too_many_is_shown_and_left_out() -> None:
    seen = look("10\t1.2\tsteady\n")
    assert seen.columns[2].reason == "no column is left for it"
    assert len(seen.entries()) == 2


def test_a_row_too_many_is_shown_and_left_out() -> None:
    seen = look("10\t1\n20\t2\n30\t3\n", rows=2)
    assert [row.row for row in seen.rows] == ["1", "2", None]
    assert len(seen.entries()) == 4


@pytest.mark.parametrize(
    ("cell", "reason"),
    [
        ("3o.9", "it is no number"),
        ("1,234", "two readings: 1.234 or 1 234"),
        ("5 A", "A is a unit of current; wanted is voltage in V"),
        ("-5", "exciting voltage is never below 0 in the base unit"),
        ("1e9", "exciting voltage is never above 20000 in the base unit"),
        ("1" * 300, "is longer than 200 signs"),
    ],
)
def test_a_cell_that_is_no_value_is_refused_with_its_reason(cell: str, reason: str) -> None:
    seen = look(f"{cell}\t1.2\n")
    assert reason in seen.rows[0].cells[0].reason
    assert seen.entries() == [("1", AMPERES, "1.2")]


def test_the_decimal_mark_of_the_worksheet_settles_a_comma() -> None:
    assert look("1,234\t1\n", decimal_comma=True).rows[0].cells[0].value_text == "1.234"


def test_over_range_signs_are_kept() -> None:
    assert look(">400\t1\n").rows[0].cells[0].over_range


def test_an_empty_cell_is_neither_taken_nor_refused() -> None:
    seen = look("10\t\n20\t1.9\n")
    assert (seen.refused_count, len(seen.entries())) == (0, 3)


def test_empty_lines_are_passed_over() -> None:
    assert len(look("\n10\t1\n\t\n20\t2\n").rows) == 2


def test_lines_may_end_as_on_any_system() -> None:
    assert len(look("10\t1\r\n20\t2\r\n").rows) == 2


def test_a_first_column_of_terminals_is_followed() -> None:
    seen = tsv.preview(
        "1S1–1S3\t2.6\n1S1-1S2\t1.3\n",
        ["r_measured_ohm"],
        rows=["t1", "t2"],
        row_words={"1S1-1S2": "t1", "1S1-1S3": "t2"},
    )
    assert seen.entries() == [("t2", "r_measured_ohm", "2.6"), ("t1", "r_measured_ohm", "1.3")]


def test_words_of_a_choice_are_taken_for_the_choice() -> None:
    seen = tsv.preview("120\topposes\n", ["v_secondary_v", "polarity_read"], rows=["t1"])
    assert seen.rows[0].cells[1].value_text == "opposes"


def test_a_word_that_is_no_choice_is_refused_with_the_choices() -> None:
    seen = tsv.preview("120\tgood\n", ["v_secondary_v", "polarity_read"], rows=["t1"])
    assert seen.rows[0].cells[1].reason == "is none of agrees, opposes"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "There is nothing to paste."),
        (" \n\t\n", "There is nothing to paste."),
        ('""', "There is nothing to paste."),
        ("<table><tr><td>1</td></tr></table>", "This is a page, not a block of cells."),
        ('10\t"2\n20\t3\n', "The block cannot be read"),
        ("1\n" * 2001, "The block has 2001 lines; at most 2000 are taken at once."),
        ("\t".join("1" * 41), "The block has 41 columns; at most 40 are taken at once."),
        ("t [degC]\nday 20\n20\n", "No column fits this table."),
    ],
)
def test_a_block_that_cannot_be_taken_says_why(text: str, sentence: str) -> None:
    seen = look(text)
    assert sentence in seen.refusal_text
    assert seen.entries() == []


@given(
    st.text(alphabet="0123456789.,eE+-<>kmMVA \t\n\r\"'ΩµU[]/", max_size=80),
    st.sampled_from([None, True, False]),
)
def test_what_is_keyed_reads_as_what_was_shown(text: str, decimal_comma: bool | None) -> None:
    from ctcore.entry import parse

    seen = look(text, decimal_comma=decimal_comma)
    shown = {
        (row.row, column.quantity_id): cell.value_text
        for row in seen.rows
        for column, cell in zip(seen.columns, row.cells, strict=True)
    }
    units = {VOLTS: "V", AMPERES: "mA"}
    read = [
        (row, name, parse(keyed, units[name], decimal_comma=decimal_comma).value)
        for row, name, keyed in seen.entries()
    ]
    assert read == [(row, name, float(shown[row, name] or "nan")) for row, name, _ in read]
