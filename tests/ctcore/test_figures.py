"""Numbers as they are shown: the right digits, the right signs, and readable again."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ctcore import figures
from ctcore.entry import COLUMNS, parse
from ctcore.errors import BadInput

GAP = "\u202f"
UNITS = st.sampled_from(sorted(COLUMNS))
VALUES = st.floats(min_value=-9e4, max_value=9e4, allow_nan=False).filter(lambda v: v == 0 or abs(v) > 1e-9)

# value, unit, rounding, figure
SHOWN = (
    (0.0309, "mA", {}, "30.9"),
    (0.0309, "mA", {"decimals": 2}, "30.90"),
    (0.0309, "mA", {"significant": 2}, "31"),
    (0.0309, "mA", {"resolution": 1e-5}, "30.90"),
    (0.0309, "mA", {"resolution": 5e-6}, "30.900"),
    (1200.0, "V", {}, f"1{GAP}200"),
    (1200.0, "ohm", {"resolution": 100.0}, f"1{GAP}200"),
    (1234567.8, "V", {}, f"1{GAP}234{GAP}567.8"),
    (123456.0, "V", {"significant": 2}, f"120{GAP}000"),
    (999.6, "V", {"significant": 3}, f"1{GAP}000"),
    (9.99, "V", {"significant": 2}, "10"),
    (0.0999, "V", {"significant": 2}, "0.10"),
    (0.0, "V", {"significant": 3}, "0.00"),
    (999.0, "V", {}, "999"),
    (-5.0, "degC", {}, "\u22125"),
    (-0.0, "V", {}, "0"),
    (-0.004, "percent", {"decimals": 2}, "0.00"),
    (-0.005001, "percent", {"decimals": 2}, "\u22120.01"),
    (2.5, "V", {"decimals": 0}, "2"),
    (3.5, "V", {"decimals": 0}, "4"),
    (0.125, "V", {"decimals": 2}, "0.12"),
    (2.0e9, "Mohm", {}, f"2{GAP}000"),
    (90.0, "min", {}, "1.5"),
    (72.0, "min", {"resolution": 0.6}, "1.20"),
    (34.377467707849395, "crad", {"decimals": 3}, "1.000"),
    (30, "arcmin", {}, "30"),
    (None, "V", {}, "\u2013"),
    (2.0e7, "Mohm", {"over_range": True}, ">\u00a020"),
    (1e-4, "mA", {"under_range": True}, "<\u00a00.1"),
    (1e300, "V", {"significant": 1}, "1" + f"{GAP}000" * 100),
)

# unit, what stands behind the figure 12
TAILS = (
    ("mA", "\u00a0mA"),
    ("uA", "\u00a0µA"),
    ("ohm", "\u00a0Ω"),
    ("Mohm", "\u00a0MΩ"),
    ("VA", "\u00a0VA"),
    ("percent", "\u00a0%"),
    ("degC", "\u00a0°C"),
    ("mm2", "\u00a0mm²"),
    ("arcmin", "\u2032"),
    ("deg", "°"),
    ("1", ""),
)

SIGNED = (
    (0.05, {"decimals": 2}, "+0.05"),
    (-0.05, {"decimals": 2}, "\u22120.05"),
    (0.0, {"decimals": 2}, "0.00"),
    (0.004, {"decimals": 2}, "0.00"),
    (-0.004, {"decimals": 2}, "0.00"),
    (0.25, {"significant": 1}, "+0.2"),
    (1200.0, {"resolution": 1.0}, f"+1{GAP}200"),
    (None, {}, "\u2013"),
)

WRONG = (
    (float("nan"), {}, "not finite"),
    (float("inf"), {}, "not finite"),
    (1.0, {"decimals": 2, "significant": 3}, "two ways of rounding"),
    (1.0, {"decimals": -1}, "counted from 0"),
    (1.0, {"significant": 0}, "counted from 1"),
    (1.0, {"resolution": 0.0}, "above zero"),
    (1.0, {"resolution": float("nan")}, "above zero"),
)


@pytest.mark.parametrize(("value", "unit", "rounding", "figure"), SHOWN)
def test_a_value_is_shown_in_its_trade_unit(value, unit, rounding, figure) -> None:
    assert figures.text(value, unit, **rounding) == figure


@pytest.mark.parametrize(("unit", "tail"), TAILS)
def test_the_symbol_stands_behind_the_figure(unit: str, tail: str) -> None:
    value = parse("12", unit).value

    assert figures.with_unit(value, unit, significant=2) == "12" + tail


def test_nothing_measured_has_no_unit() -> None:
    assert figures.with_unit(None, "mA") == "\u2013"


def test_an_over_range_keeps_its_unit() -> None:
    assert figures.with_unit(2e9, "Gohm", over_range=True) == ">\u00a02\u00a0GΩ"


@pytest.mark.parametrize(("value", "rounding", "figure"), SIGNED)
def test_an_error_shows_its_sign_unless_it_is_zero(value, rounding, figure) -> None:
    assert figures.signed(value, "percent", **rounding) == figure


@pytest.mark.parametrize(("value", "rounding", "reason"), WRONG)
def test_what_cannot_be_shown_is_refused(value, rounding, reason) -> None:
    with pytest.raises(BadInput, match=reason):
        figures.text(value, "V", **rounding)


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(BadInput, match="no column has this unit"):
        figures.text(1.0, "furlong")


@pytest.mark.parametrize("text", ["350.0", "0.350 A", "350m", ">2000", "<0.1", "\u22121 200.50"])
def test_an_entry_is_shown_as_an_entry_of_the_same_value_and_digits(text: str) -> None:
    entry = parse(text, "mA")

    again = parse(figures.of_entry(entry, "mA"), "mA")

    assert (again.value, again.over_range, again.under_range) == (
        entry.value,
        entry.over_range,
        entry.under_range,
    )
    assert again.resolution <= entry.resolution


def test_a_numpy_number_is_shown_like_any_other() -> None:
    numpy = pytest.importorskip("numpy")

    assert figures.text(numpy.float64(0.0309), "mA") == "30.9"


@given(VALUES, UNITS, st.integers(min_value=0, max_value=3))
def test_a_shown_figure_is_read_back_within_its_last_digit(value: float, unit: str, decimals: int) -> None:
    assume(unit != "degC" or -273 < value < 9999)

    entry = parse(figures.text(value, unit, decimals=decimals), unit)

    # Half of the last digit shown, and the rounding of one division in the units that are no power of ten.
    assert abs(entry.value - value) <= 0.5 * entry.resolution * (1 + 1e-9) + 1e-14 * abs(value)


@given(VALUES, st.sampled_from(["V", "mA", "uA", "Mohm", "kohm", "percent", "1"]))
def test_every_digit_of_a_value_is_read_back_exactly(value: float, unit: str) -> None:
    assert parse(figures.text(value, unit), unit).value == value


@given(st.floats(min_value=-1e5, max_value=1e5, allow_nan=False), UNITS, st.integers(0, 4))
def test_no_figure_is_a_signed_zero(value: float, unit: str, decimals: int) -> None:
    figure = figures.signed(value, unit, decimals=decimals)

    typed = Decimal(figure.replace("\u2212", "-").replace(GAP, ""))
    assert typed != 0 or figure[0] == "0"
