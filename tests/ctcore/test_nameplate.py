"""Class designations: what is read, how it is written back, what contradicts itself."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ctcore import standards
from ctcore.errors import BadInput
from ctcore.nameplate import parse_class, plain_number

READ: list[tuple[str, dict[str, Any]]] = [
    ("5P20 15 VA", {"family": "protection", "designation": "5P20", "limit_factor": 20, "output_va": 15}),
    ("15VA 5P20", {"class_name": "5P", "limit_factor": 20, "output_va": 15}),
    ("30VA5P10", {"class_name": "5P", "limit_factor": 10, "output_va": 30}),
    ("15 VA Class 5P 20", {"designation": "5P20", "output_va": 15}),
    ("5P20 2,5 VA", {"output_va": 2.5}),
    ("5P20 2.5 VA, Rct 1.5 ohm", {"output_va": 2.5, "rct_ohm": 1.5}),
    ("5P 15 VA", {"designation": "5P", "limit_factor": None, "output_va": 15}),
    ("10P7.5 10 VA", {"designation": "10P7.5", "limit_factor": 7.5}),
    ("10P ALF 12 10 VA", {"designation": "10P12", "limit_factor": 12}),
    ("10PR10 5 VA Ts 200 ms Rct 3 Ω", {"family": "protection_pr", "ts_s": 0.2, "rct_ohm": 3}),
    ("5PR20 30 VA", {"class_name": "5PR", "designation": "5PR20"}),
    ("0.5S FS5 10 VA", {"family": "measuring_s", "security_factor": 5, "output_va": 10}),
    ("cl. 0,5 FS5 10VA", {"family": "measuring", "designation": "0.5", "security_factor": 5}),
    ("0.5FS10 5VA", {"security_factor": 10}),
    ("class 0.2 S 10 VA", {"designation": "0.2S"}),
    ("0.2 ext.150 % 5 VA", {"extended_percent": 150, "output_va": 5}),
    ("0.2 ext. 120% 5 VA", {"extended_percent": 120}),
    ("0.5 1-10 VA", {"output_low_va": 1, "output_va": 10}),
    ("0.1 1–5 VA", {"designation": "0.1", "output_low_va": 1, "output_va": 5}),
    ("1 10 VA", {"designation": "1", "output_va": 10}),
    ("3.0 15 VA", {"designation": "3", "output_va": 15}),
    ("5 10 VA", {"designation": "5", "family": "measuring"}),
    ("PX Ek 200 V Ie 30 mA Rct 2.5 ohm", {"family": "px", "ek_v": 200, "ie_a": 0.03, "rct_ohm": 2.5}),
    ("px vk 1.5kv io<=25mA rct 4Ω", {"ek_v": 1500, "ie_a": 0.025, "rct_ohm": 4}),
    ("PX Kx 30 Rct 4 ohm Rb 6 ohm", {"kx": 30, "rct_ohm": 4, "rb_ohm": 6, "ek_v": None}),
    ("PX Ek 200 V Ie 30 mA @ Ek/2", {"ie_at_ek_percent": 50}),
    ("PX Ek 200 V Ie 30 mA at 25 % Ek", {"ie_at_ek_percent": 25}),
    ("PX Ek 200 V Ie 30 mA at 100 % of Ek", {"ie_at_ek_percent": None}),
    ("PXR Ek 400 V Ie ≤ 20 mA at Ek Rct ≤ 3 Ω at 75 °C", {"family": "pxr", "ie_a": 0.02, "rct_ohm": 3}),
    (
        "TPY Kssc 20 Ktd 12 Ts 0.5 s Rb 10 ohm",
        {"family": "tp", "class_name": "TPY", "kssc": 20, "ktd": 12, "ts_s": 0.5, "rb_ohm": 10},
    ),
    ("TPX Kssc 20 Tp 60 ms", {"class_name": "TPX", "tp_s": 0.06}),
    ("TPZ", {"class_name": "TPZ", "kssc": None}),
    ("C400", {"standard": "IEEE C57.13", "family": "c", "designation": "C400", "c_voltage_v": 400}),
    ("c 800 RF 2.0", {"designation": "C800", "rating_factor": 2}),
    ("T100", {"family": "t", "c_voltage_v": 100}),
    ("K200", {"family": "k", "c_voltage_v": 200}),
    ("X Ek 300 V Ie 100 mA Rct 1 ohm", {"family": "x", "ek_v": 300, "ie_a": 0.1, "rct_ohm": 1}),
    ("0.3 B-0.5", {"family": "ieee_metering", "burden_name": "B-0.5", "burden_names": ("B-0.5",)}),
    ("0.3B-0.5", {"designation": "0.3", "burden_name": "B-0.5"}),
    ("0.3 B-0.5 B-0.1", {"burden_name": "B-0.5", "burden_names": ("B-0.5", "B-0.1")}),
    ("0.3 B-0.1, B-0.2, B-0.1", {"burden_names": ("B-0.1", "B-0.2")}),
    ("0.6 B0.1/0.2/0.5", {"designation": "0.6", "burden_names": ("B-0.1", "B-0.2", "B-0.5")}),
    ("1.2 B-1.8", {"designation": "1.2", "burden_name": "B-1.8"}),
    ("0.15S E-0.2", {"designation": "0.15S", "burden_name": "E-0.2"}),
    ("0.15 E0.04", {"designation": "0.15", "burden_name": "E-0.04"}),
    ("0.3", {"family": "ieee_metering", "burden_name": None}),
    ("0.3 @ B-0.5", {"burden_names": ("B-0.5",)}),
    ("0.3 B-0.1 thru B-0.9", {"burden_names": ("B-0.1", "B-0.2", "B-0.5", "B-0.9")}),
    ("0.6 B0.5 to 1.8", {"burden_names": ("B-0.5", "B-0.9", "B-1.8"), "burden_name": "B-1.8"}),
    ("5P20-15VA", {"designation": "5P20", "output_va": 15}),
    ("15 VA - 5P20", {"designation": "5P20", "output_va": 15}),
]


@pytest.mark.parametrize(("text", "expected"), READ, ids=[text for text, _ in READ])
def test_a_designation_is_read_into_its_parts(text: str, expected: dict[str, Any]) -> None:
    accuracy = parse_class(text)
    assert {name: getattr(accuracy, name) for name in expected} == expected


@pytest.mark.parametrize("text", [text for text, _ in READ])
def test_a_class_written_and_read_again_is_the_same(text: str) -> None:
    accuracy = parse_class(text)
    assert parse_class(str(accuracy)) == accuracy


@pytest.mark.parametrize("row", standards.CLASSES, ids=lambda row: row.designation)
def test_every_class_of_the_standards_can_be_read(row: standards.rows.Row) -> None:
    voltage_text = "400" * (row.designation in ("C", "T", "K"))
    accuracy = parse_class(row.designation + voltage_text)
    assert (accuracy.class_name, accuracy.family) == (row.designation, row.family)


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("C100 0.3 B-0.5", "C100; 0.3 B-0.5"),
        ("0.3 B-0.5 RF 2 C100", "0.3 B-0.5 RF 2; C100 RF 2"),
        ("0.3 B-0.1; 0.6 B-0.5", "0.3 B-0.1; 0.6 B-0.5"),
        ("15 VA 0.5 FS5 / 15 VA 5P10", "0.5 FS5 15 VA; 5P10 15 VA"),
        ("0.2 5 VA + 0.5 15 VA", "0.2 5 VA; 0.5 15 VA"),
    ],
)
def test_several_classes_of_one_core_stand_one_after_the_other(text: str, written: str) -> None:
    assert str(parse_class(text)) == written


def test_the_first_of_several_classes_leads_the_others() -> None:
    accuracy = parse_class("C100 0.3 B-0.5")
    assert [one.family for one in accuracy.all_classes] == ["c", "ieee_metering"]


@pytest.mark.parametrize(
    ("text", "is_metering"), [("0.5", True), ("0.2S", True), ("0.3", True), ("5P20", False), ("C400", False)]
)
def test_the_duty_of_a_class_is_known(text: str, is_metering: bool) -> None:
    assert parse_class(text).is_metering is is_metering


REFUSED = [
    ("", "empty"),
    ("   ", "empty"),
    ("x" * 401, "longer"),
    ("hello", "not understood"),
    ("600/5", "not understood"),
    ("5P20 15", "not understood"),
    ("0.25", "not understood"),
    ("5PX", "not understood"),
    ("15 VA", "no accuracy class"),
    ("0.5 -10 VA", "no accuracy class"),
    ("5P20;", "no accuracy class"),
    ("5P20 FS5", "FS does not belong"),
    ("0.5 ALF 10", "limit factor does not belong"),
    ("0.5 Ek 200 V", "Ek does not belong"),
    ("5P20 ext. 150 %", "extended current does not belong"),
    ("PX 15 VA", "rated output does not belong"),
    ("C400 10 VA", "rated output does not belong"),
    ("0.3 B-0.5 10 VA", "rated output does not belong"),
    ("C100 0.3 B-0.5 10 VA", "rated output does not belong"),
    ("5P10 5P20", "stated twice: 10 and 20"),
    ("5P20 15 VA 30 VA", "stated twice: 15 and 30"),
    ("C400 C800", "stated twice"),
    ("0.5 0.2", "stand together"),
    ("5P20 C400", "stand together"),
    ("0.3 0.6 B-0.5", "stand together"),
    ("0.5 B-0.5", "B-0.5 does not belong"),
    ("0.3 B-0.3", "no standard burden"),
    ("0.3 B-0.5 to B-0.1", "runs upwards"),
    ("0.3 B-0.1 to B-2", "runs upwards"),
    ("5P20 -15 VA", "not understood"),
    ("0.1S 5 VA", "S classes"),
    ("0.3S", "S classes"),
    ("15P20", "5P, 10P, 5PR and 10PR"),
    ("6P20", "5P, 10P, 5PR and 10PR"),
    ("0.5 FS0", "no possible value"),
    ("5P0", "no possible value"),
    ("0.5 0 VA", "no possible value"),
    ("PX Ek 9999999999 kV", "no possible value"),
    ("5P1 15 VA", "above 1"),
    ("0.5 FS1", "above 1"),
    ("0.5 10-1 VA", "smaller to the larger"),
    ("0.5 ext. 110 %", "120 % or more"),
    ("C400 RF 0.5", "1 or more"),
    ("PX Ek 200", "needs its unit"),
    ("PX Ek 200 V at 50 % Ek", "without an exciting current"),
    ("PX Ek 200 V Ie 3 mA at 110 % Ek", "at Ek or below"),
    ("C", "needs its voltage"),
]


@pytest.mark.parametrize(("text", "reason"), REFUSED)
def test_text_that_is_unclear_or_contradicts_itself_is_refused(text: str, reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        parse_class(text)


def test_what_is_no_text_is_refused() -> None:
    with pytest.raises(BadInput, match="a text is needed"):
        parse_class(None)


@given(st.text(alphabet="0123456789.,PRXTSYZCKBEFVAkmohxt%- ;/Ω", max_size=30))
def test_any_text_is_read_back_or_refused(text: str) -> None:
    try:
        accuracy = parse_class(text)
    except BadInput:
        return
    assert parse_class(str(accuracy)) == accuracy


@given(st.floats(1.01, 1000.0), st.floats(1e-3, 1e4))
def test_numbers_on_a_plate_come_back_to_the_last_digit(limit_factor: float, output_va: float) -> None:
    text = f"5P{plain_number(limit_factor)} {plain_number(output_va)} VA"
    accuracy = parse_class(text)
    assert (accuracy.limit_factor, accuracy.output_va) == (limit_factor, output_va)


def test_a_number_that_is_not_finite_is_not_written() -> None:
    with pytest.raises(BadInput, match="not finite"):
        plain_number(float("nan"))
