"""Properties of typed readings over invented texts: what goes out comes back, and nothing else comes in."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from ctcore.entry import COLUMNS, Entry, base_unit, parse
from ctcore.errors import BadInput

UNITS = st.sampled_from(sorted(COLUMNS))
# Powers of ten a column's unit stands for, by its prefix; written here again on purpose.
TENS = {"V": 0, "kV": 3, "mV": -3, "A": 0, "mA": -3, "uA": -6, "kA": 3, "mohm": -3, "Mohm": 6, "1": 0}
WHOLE = st.integers(min_value=0, max_value=99_999)
FRACTION = st.text("0123456789", min_size=0, max_size=6)
ALPHABET = "0123456789.,+-\u2212<>=eEkKmMGTRuVAsHz%\u03a9\u00b5 \u00a0\u202f\u2009'\u2032\u00b0\u0663\u200b"
# Most of these are numbers, so that the properties below are not about refusals only.
LIKELY = st.builds(
    "{}{}{}{}{}".format,
    st.sampled_from(["", "", "-", "\u2212", ">", "<-"]),
    st.integers(0, 99_999),
    st.sampled_from(["", ".", ","]),
    FRACTION,
    st.sampled_from(["", "", " ", "k", "m", "e2", "e-3", "mA", " kV", "\u03a9", "R", " %"]),
)


def read(text: str, unit: str, decimal_comma: bool | None = None) -> Entry | None:
    try:
        return parse(text, unit, decimal_comma=decimal_comma)
    except BadInput:
        return None


@given(WHOLE, FRACTION, st.sampled_from(sorted(TENS)), st.sampled_from(["", "-", "\u2212", "+"]))
def test_a_plain_number_is_its_decimal_times_its_unit(
    whole: int, fraction: str, unit: str, sign: str
) -> None:
    exact = Fraction(f"{whole}.{fraction or 0}") * Fraction(10) ** TENS[unit]
    exact = -exact if sign in ("-", "\u2212") else exact

    entry = parse(f"{sign}{whole}.{fraction}", unit)

    assert entry.value == float(exact)
    assert Fraction(entry.value_text) == exact


@given(st.integers(min_value=1000, max_value=9_999_999), st.sampled_from(" \u00a0\u202f\u2009\u2007"))
def test_groups_of_three_change_no_value(number: int, gap: str) -> None:
    assert parse(f"{number:,}".replace(",", gap), "V").value == number


@given(WHOLE, FRACTION)
def test_a_comma_is_a_point_or_is_asked_about(whole: int, fraction: str) -> None:
    entry = read(f"{whole},{fraction}", "V")

    assert (entry is None) == (len(fraction) == 3 and 1 <= whole <= 999)
    assert entry is None or Fraction(entry.value_text) == Fraction(f"{whole}.{fraction or 0}")


@given(WHOLE, FRACTION)
def test_the_two_stated_marks_mirror_each_other(whole: int, fraction: str) -> None:
    text = f"{whole}.{fraction}"
    assert read(text, "V", False) == parse(text, "V")

    mirrored = parse(text.replace(".", ","), "V", decimal_comma=True)

    assert mirrored.value_text == parse(text, "V").value_text


@given(st.text(ALPHABET, max_size=12) | st.text(max_size=45), UNITS, st.sampled_from([None, True, False]))
def test_any_text_is_read_as_a_finite_number_or_refused(
    text: str, unit: str, decimal_comma: bool | None
) -> None:
    entry = read(text, unit, decimal_comma)

    assert entry is None or (
        math.isfinite(entry.value)
        and entry.resolution > 0
        and entry.as_typed == text
        and float(entry.value_text) == entry.value
    )


@given(LIKELY, UNITS)
def test_the_decimal_string_of_an_entry_is_itself_an_entry(text: str, unit: str) -> None:
    entry = read(text, unit)

    again = entry and parse(entry.value_text, base_unit(unit))

    assert (again and again.value_text) == (entry and entry.value_text)
    assert (again and again.value) == (entry and entry.value)


@given(LIKELY, st.sampled_from(sorted(TENS)))
def test_the_last_digit_of_the_decimal_string_is_the_resolution_of_a_decimal_unit(
    text: str, unit: str
) -> None:
    entry = read(text, unit)

    exponent = entry and Decimal(entry.value_text).as_tuple().exponent

    assert entry is None or entry.resolution == float(f"1e{exponent}")
