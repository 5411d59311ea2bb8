"""Results for other programs: nothing becomes a formula, no number is spoiled, and all of it reads back."""

from __future__ import annotations

import csv
import io
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.exchange import results_out
from app.exchange.results_out import COLUMNS, NUMBERS

TEXT = st.text(st.characters(blacklist_categories=("Cs",), blacklist_characters="\x00"), max_size=20)
FLOATS = st.floats(allow_nan=False, allow_infinity=False)
VALUES = {
    **{name: TEXT.map(lambda text: text or "x") for name in COLUMNS if name not in NUMBERS},
    "revision": st.integers(1, 99),
    "core_number": st.integers(1, 99),
    "value": st.none() | FLOATS | st.sampled_from(["agrees", "-agrees", "=1+1", "12 apples"]),
    "u_expanded": st.none() | FLOATS,
    "limit_low": st.none() | FLOATS,
    "limit_high": st.none() | FLOATS,
}
ROWS = st.lists(st.fixed_dictionaries(VALUES), max_size=5)


@given(ROWS)
def test_rows_read_back_as_they_were_written(rows: list[dict[str, object]]) -> None:
    assert results_out.read_csv(results_out.csv_head() + results_out.csv_rows(rows)) == rows
    assert results_out.read_json([results_out.json_row(row) for row in rows]) == rows


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1+2", "@SUM(A1)", "\t=1", "\r=1", "'quoted"])
def test_no_text_begins_as_a_formula_does(text: str) -> None:
    (cells,) = csv.reader(io.StringIO(results_out.csv_rows([{"serial_text": text}]), newline=""))
    assert cells[COLUMNS.index("serial_text")] == f"'{text}"


@given(FLOATS)
def test_a_number_keeps_its_sign_and_every_digit(number: float) -> None:
    (cells,) = csv.reader(io.StringIO(results_out.csv_rows([{"value": number}]), newline=""))
    assert math.copysign(1.0, float(cells[COLUMNS.index("value")])) == math.copysign(1.0, number)
    assert float(cells[COLUMNS.index("value")]) == number


def test_an_empty_table_has_its_head() -> None:
    assert results_out.read_csv(results_out.csv_head()) == []
