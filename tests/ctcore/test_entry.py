"""What an entry carries, and what the columns understand."""

from __future__ import annotations

from decimal import localcontext

import pytest

from ctcore.entry import COLUMNS, TwoReadings, base_unit, parse
from ctcore.entry.refusals import shown
from ctcore.entry.units import dimension_of
from ctcore.errors import BadInput

# text, unit, resolution in the base unit
RESOLUTIONS = (
    ("350", "mA", 1e-3),
    ("350.0", "mA", 1e-4),
    ("1.20", "ohm", 0.01),
    ("5.", "V", 1.0),
    ("1k2", "ohm", 100.0),
    ("1 200", "V", 1.0),
    ("1e3", "V", 1000.0),
    ("500", "Mohm", 1e6),
    ("1.5", "min", 6.0),
    ("0.00", "V", 0.01),
)

# Units of the columns and the base unit each is returned in.
BASES = (
    ("mA", "A"), ("A", "A"), ("uA", "A"), ("kA", "A"), ("V", "V"), ("kV", "V"), ("mV", "V"), ("ohm", "ohm"),
    ("mohm", "ohm"), ("kohm", "ohm"), ("Mohm", "ohm"), ("Gohm", "ohm"), ("Tohm", "ohm"), ("VA", "VA"),
    ("Hz", "Hz"), ("s", "s"), ("ms", "s"), ("min", "s"), ("degC", "degC"), ("percent", "percent"),
    ("arcmin", "arcmin"), ("crad", "arcmin"), ("deg", "deg"), ("1", "1"), ("mm2", "mm2"), ("m", "m"),
)  # fmt: skip


@pytest.mark.parametrize(("text", "unit", "resolution"), RESOLUTIONS)
def test_the_resolution_is_the_size_of_the_last_digit(text: str, unit: str, resolution: float) -> None:
    assert parse(text, unit).resolution == pytest.approx(resolution, rel=1e-15)


@pytest.mark.parametrize(("unit", "base"), BASES)
def test_every_column_returns_its_base_unit(unit: str, base: str) -> None:
    assert base_unit(unit) == base


@pytest.mark.parametrize("unit", sorted(COLUMNS))
def test_every_unit_of_a_column_can_be_typed_by_its_own_name(unit: str) -> None:
    named = parse(f"12.5 {unit}" if unit != "1" else "12.5", unit)

    assert named.value == parse("12.5", unit).value


def test_a_crad_is_a_hundredth_of_a_radian_in_minutes_of_arc() -> None:
    # Arithmetic: 0.01 x 180 x 60 / pi = 34.3775 minutes to six digits.
    assert parse("1", "crad").value == pytest.approx(34.3775, abs=5e-5)


def test_thirty_minutes_of_arc_are_half_a_degree() -> None:
    assert parse("30\u2032", "deg").value == 0.5


def test_a_range_sign_marks_the_entry_over_range() -> None:
    entry = parse(">2000", "Mohm")

    assert (entry.over_range, entry.under_range) == (True, False)


def test_a_range_sign_marks_the_entry_under_range() -> None:
    entry = parse("<0.1", "mA")

    assert (entry.over_range, entry.under_range) == (False, True)


def test_a_plain_entry_is_neither_over_nor_under_range() -> None:
    entry = parse("0.1", "mA")

    assert (entry.over_range, entry.under_range) == (False, False)


def test_minus_zero_has_no_sign() -> None:
    assert str(parse("-0.0", "V").value) == "0.0"


def test_the_refusal_names_the_field() -> None:
    with pytest.raises(BadInput) as refusal:
        parse("x", "V", quantity="volts at the knee")

    assert (refusal.value.quantity, refusal.value.value) == ("volts at the knee", "x")


def test_the_refusal_speaks_of_an_entry_where_no_field_is_named() -> None:
    with pytest.raises(BadInput) as refusal:
        parse("x", "V")

    assert refusal.value.quantity == "entry"


def test_the_question_names_the_field() -> None:
    with pytest.raises(TwoReadings) as question:
        parse("1,234", "V", quantity="volts at the knee")

    assert question.value.quantity == "volts at the knee"


def test_an_unknown_column_is_refused() -> None:
    with pytest.raises(BadInput, match="no column has this unit"):
        parse("5", "furlong")


def test_a_refusal_carries_a_long_text_cut_short() -> None:
    with pytest.raises(BadInput) as refusal:
        parse("9" * 10_000, "V")

    assert len(str(refusal.value)) < 120


def test_hidden_characters_are_spelled_out_in_a_refusal() -> None:
    assert shown("1\u202e2\x00") == "1[U+202E]2[U+0000]"


def test_an_unknown_spelling_has_no_dimension() -> None:
    assert dimension_of("furlong") is None


def test_the_callers_decimal_settings_change_nothing() -> None:
    with localcontext() as rough:
        rough.prec = 2
        entry = parse("1.23456 crad", "arcmin")

    # Arithmetic: 1.23456 x 34.3774677 minutes of arc.
    assert entry.value == pytest.approx(42.4410465, abs=1e-6)


@pytest.mark.parametrize("text", [5, None, b"5"])
def test_what_is_no_text_is_refused_with_a_reason(text: object) -> None:
    with pytest.raises(BadInput, match="a text is needed"):
        parse(text, "V")


@pytest.mark.parametrize(
    ("head", "value"),
    [
        ("MOhm", 2e6),
        ("M\u03a9", 2e6),
        ("\u03a9", 2.0),
        ("%", 2.0),
        ("\u00b0C", 2.0),
        ("\u00b5A", 2e-6),
        ("\u2032", 2.0),
    ],
)
def test_a_column_may_be_headed_by_any_spelling_of_its_unit(head: str, value: float) -> None:
    assert parse("2", head).value == pytest.approx(value, rel=1e-15)
