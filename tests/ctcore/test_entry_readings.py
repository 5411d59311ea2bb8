"""The fixed list, second part: texts with two readings, and a decimal mark that is stated."""

from __future__ import annotations

import pickle

import pytest

from ctcore.entry import TwoReadings, parse
from ctcore.errors import BadInput

# text, unit, both readings as the column takes them, and what each is in the base unit
ASKED: tuple[tuple[str, str, str, float, str, float], ...] = (
    ("1,234", "V", "1.234", 1.234, "1 234", 1234.0),
    ("12,345", "mA", "12.345", 0.012345, "12 345", 12.345),
    ("123,456", "ohm", "123.456", 123.456, "123 456", 123456.0),
    ("-1,234", "V", "-1.234", -1.234, "-1 234", -1234.0),
    ("\u22121,234", "V", "\u22121.234", -1.234, "\u22121 234", -1234.0),
    (">1,234", "Mohm", ">1.234", 1.234e6, ">1 234", 1.234e9),
    ("1,234 kV", "V", "1.234 kV", 1234.0, "1 234 kV", 1234e3),
    ("1,234k", "V", "1.234k", 1234.0, "1 234k", 1234e3),
    ("1,234e1", "V", "1.234e1", 12.34, "1 234e1", 12340.0),
    (" 1,000 ", "V", "1.000", 1.0, "1 000", 1000.0),
    ("5M", "A", "5 mA", 0.005, "5000 kA", 5e6),
    ("5 M", "mA", "5 mA", 0.005, "5000 kA", 5e6),
    ("5 MA", "mA", "5 mA", 0.005, "5000 kA", 5e6),
    ("2M5", "kV", "2.5 mV", 0.0025, "2500 kV", 2.5e6),
    ("-5MV", "V", "-5 mV", -0.005, "-5000 kV", -5e6),
    ("5M", "VA", "5 mVA", 0.005, "5000 kVA", 5e6),
    ("5m", "Mohm", "0.005 \u03a9", 0.005, "5 M\u03a9", 5e6),
    (">500m", "Gohm", ">0.500 \u03a9", 0.5, ">500 M\u03a9", 5e8),
    ("5 m\u03a9", "Mohm", "0.005 \u03a9", 0.005, "5 M\u03a9", 5e6),
    ("5M", "mohm", "5 m\u03a9", 0.005, "5000 k\u03a9", 5e6),
    ("1M2", "mohm", "1.2 m\u03a9", 0.0012, "1200 k\u03a9", 1.2e6),
    ("5m", "s", "5 ms", 0.005, "5 min", 300.0),
    ("2m5", "min", "2.5 ms", 0.0025, "2.5 min", 150.0),
    ("0M", "A", "0 mA", 0.0, "0e3 kA", 0.0),
)

# text, decimal_comma, value of a column of volts
TOLD: tuple[tuple[str, bool, float], ...] = (
    ("1,234", True, 1.234),
    ("1.234", True, 1234.0),
    ("12,5", True, 12.5),
    ("1.234,5", True, 1234.5),
    ("1.234.567", True, 1234567.0),
    ("1 234,5", True, 1234.5),
    ("1234", True, 1234.0),
    (",5", True, 0.5),
    ("1,234", False, 1234.0),
    ("1,234,567", False, 1234567.0),
    ("1,234.5", False, 1234.5),
    ("1.234", False, 1.234),
    ("12.5", False, 12.5),
)

# text, decimal_comma, words of the reason
TOLD_REFUSED: tuple[tuple[str, bool, str], ...] = (
    ("12.5", True, "the comma is the decimal mark here"),
    ("0.123", True, "the comma is the decimal mark here"),
    ("1,234.5", True, "the comma is the decimal mark here"),
    ("1,234,567", True, "more than one decimal comma"),
    ("12,5", False, "the point is the decimal mark here"),
    ("0,123", False, "the point is the decimal mark here"),
    ("1.234,5", False, "the point is the decimal mark here"),
    ("1.234.567", False, "more than one decimal point"),
)

# The marking of resistances by letters, examples of the table in IEC 60062:2016, clause 3 (from memory).
MARKED_OHM: tuple[tuple[str, float], ...] = (
    ("R10", 0.1),
    ("R332", 0.332),
    ("1R0", 1.0),
    ("3R32", 3.32),
    ("10R", 10.0),
    ("33R2", 33.2),
    ("100R", 100.0),
    ("1K0", 1e3),
    ("3K32", 3.32e3),
    ("33K2", 33.2e3),
    ("332K", 332e3),
    ("1M0", 1e6),
    ("3M32", 3.32e6),
    ("100M", 100e6),
    ("1G0", 1e9),
    ("3G32", 3.32e9),
    ("1T0", 1e12),
)


@pytest.mark.parametrize(("text", "unit", "low", "low_value", "high", "high_value"), ASKED)
def test_a_text_with_two_readings_names_both_and_each_can_be_typed(
    text: str, unit: str, low: str, low_value: float, high: str, high_value: float
) -> None:
    with pytest.raises(TwoReadings) as question:
        parse(text, unit)

    assert question.value.readings == (low, high)
    assert low in question.value.reason
    assert high in question.value.reason
    assert (parse(low, unit).value, parse(high, unit).value) == (low_value, high_value)


@pytest.mark.parametrize(("text", "decimal_comma", "value"), TOLD)
def test_a_stated_decimal_mark_settles_the_reading(text: str, decimal_comma: bool, value: float) -> None:
    assert parse(text, "V", decimal_comma=decimal_comma).value == value


@pytest.mark.parametrize(("text", "decimal_comma", "reason"), TOLD_REFUSED)
def test_a_text_against_the_stated_decimal_mark_is_refused(
    text: str, decimal_comma: bool, reason: str
) -> None:
    with pytest.raises(BadInput, match=reason):
        parse(text, "V", decimal_comma=decimal_comma)


@pytest.mark.parametrize(("text", "value_ohm"), MARKED_OHM)
def test_a_resistance_marked_by_letters_is_read(text: str, value_ohm: float) -> None:
    assert parse(text, "ohm").value == value_ohm


def test_a_question_survives_the_way_to_another_process() -> None:
    question = TwoReadings("volts", "1,234", ("1.234", "1 234"))

    arrived = pickle.loads(pickle.dumps(question))

    assert (arrived.readings, arrived.reason, arrived.quantity, arrived.value) == (
        ("1.234", "1 234"),
        "two readings: 1.234 or 1 234",
        "volts",
        "1,234",
    )
