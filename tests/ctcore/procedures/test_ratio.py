"""Ratio and polarity from keyed readings: methods, classes, taps, takes."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.job import Instrument
from tests.ctcore.procedures.keyed_ratio import AT_BURDEN, PX, by_instrument, by_voltage


def test_the_current_method_gives_ratio_error_and_percent_of_rated(worksheet: Any) -> None:
    """600 A and 0.99 A on 600/1: -1 %. Source: IEC 61869-1:2007, 3.4.3; arithmetic."""
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", **{**AT_BURDEN, "ratio_method": "current"})
    sheet.key("ratio", "S1-S2", i_primary_a=600, i_secondary_a=0.99)

    found = sheet.found("ratio.error")

    assert (found.verdict, found.limit_high) == ("outside", 0.5)
    assert found.value == pytest.approx(-1.0, abs=1e-12)


def test_a_secondary_current_of_zero_is_not_tested(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", ratio_method="current")
    sheet.key("ratio", "S1-S2", i_primary_a=600, i_secondary_a=0)

    assert sheet.found("ratio.reading").verdict == "not tested"


@pytest.mark.parametrize(
    "row",
    [{"i_primary_a": 600}, {"i_secondary_a": 1}],
)
def test_half_a_reading_is_not_tested(worksheet: Any, row: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", ratio_method="current")
    sheet.key("ratio", "S1-S2", **row)

    assert sheet.found("ratio.reading").verdict == "not tested"


def test_without_a_method_nothing_is_judged(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", "S1-S2", v_secondary_v=60, v_primary_v=0.1)

    assert sheet.found("ratio.reading").verdict == "not tested"


def test_an_unknown_method_is_referred(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", ratio_method="guess")
    sheet.key("ratio", "S1-S2", v_secondary_v=60, v_primary_v=0.1)

    assert sheet.found("ratio.reading").verdict == "refer"


def test_an_instrument_reading_without_its_current_is_referred(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", **AT_BURDEN)
    sheet.key("ratio", "S1-S2", ratio_error_read_percent=0.1)

    assert sheet.found("ratio.error").verdict == "refer"


def test_a_class_that_cannot_be_read_is_referred(worksheet: Any) -> None:
    assert by_instrument(worksheet, "7Q99", 100.0, 0.1, 0.0).found("ratio.class").verdict == "refer"


def test_no_class_on_the_plate_is_referred(worksheet: Any) -> None:
    assert by_instrument(worksheet, " ", 100.0, 0.1, 0.0).found("ratio.class").verdict == "refer"


def test_an_x_class_shows_its_ratio_and_refers(worksheet: Any) -> None:
    assert by_instrument(worksheet, "X", 100.0, 0.1, 0.0).found("ratio.relay_class").verdict == "refer"


@pytest.mark.parametrize("class_text", ["C100", "T100", "K100"])
@pytest.mark.parametrize(
    ("percent", "error", "burden_va", "verdict"),
    [
        (100.0, -2.9, 25.0, "within"),
        (100.0, -3.1, 25.0, "outside"),
        (100.0, -2.9, 10.0, "refer"),
        (50.0, -2.9, 25.0, "refer"),
    ],
)
def test_a_relaying_class_keeps_3_percent_at_rated_current(
    worksheet: Any, class_text: str, percent: float, error: float, burden_va: float, verdict: str
) -> None:
    """3 % at rated current with the standard burden, B-1 for 100. Source: IEEE C57.13-2016, from memory."""
    sheet = worksheet(class_text)
    sheet.key("ratio", **{**AT_BURDEN, "burden_in_circuit_va": burden_va, "burden_power_factor_ratio": 0.5})
    sheet.key("ratio", "S1-S2", i_percent_rated_percent=percent, ratio_error_read_percent=error)

    found = sheet.found("ratio.relay")

    assert (found.verdict, found.limit_standing) == (verdict, "from memory")


def test_a_relaying_class_without_the_current_of_the_reading_is_referred(worksheet: Any) -> None:
    sheet = worksheet("C100")
    sheet.key("ratio", **AT_BURDEN)
    sheet.key("ratio", "S1-S2", ratio_error_read_percent=0.1)

    assert sheet.found("ratio.relay").verdict == "refer"


def test_both_classes_of_a_core_with_two_are_judged(worksheet: Any) -> None:
    sheet = by_instrument(worksheet, "0.5 10 VA; 5P10 10 VA", 100.0, 0.6, 0.0)

    verdicts = [entry.verdict for entry in sheet.findings() if entry.rule == "ratio.error"]

    assert verdicts == ["outside", "within"]


def test_the_class_belongs_to_the_highest_ratio(worksheet: Any, make_tap: Any) -> None:
    """Source: IEC 61869-2:2012, 5.6.203.2."""
    sheet = worksheet("0.5 10 VA", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)])
    sheet.key("ratio", **AT_BURDEN)
    sheet.key("ratio", "S1-S2", i_percent_rated_percent=100, ratio_error_read_percent=0.9)

    assert sheet.found("ratio.error").verdict == "refer"


def test_a_plate_may_give_the_class_on_every_tap(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("0.5 10 VA", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)], class_on_every_tap=True)
    sheet.key("ratio", **AT_BURDEN)
    sheet.key("ratio", "S1-S2", i_percent_rated_percent=100, ratio_error_read_percent=0.9)

    assert sheet.found("ratio.error").verdict == "outside"


def test_a_ratio_that_fits_another_pair_says_which(worksheet: Any, make_tap: Any) -> None:
    """1200:5 sections 40/20/100/80: 100 turns lie between X3 and X4. Source: IEEE C57.13, Table 8."""
    taps = [make_tap("X1-X2", 200, 5, 40), make_tap("X1-X3", 300, 5, 60), make_tap("X1-X4", 800, 5, 160)]
    sheet = worksheet("C400", taps)
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "X1-X3", v_secondary_v=100.0, v_primary_v=1.003)

    found = sheet.found("ratio.tap")

    assert found.verdict == "outside"
    assert "fits X3-X4" in found.text


def test_a_ratio_that_fits_no_pair_is_referred(worksheet: Any) -> None:
    assert by_voltage(worksheet, PX, 60.0, 0.105).found("ratio.tap").verdict == "refer"


def test_a_ratio_within_one_percent_is_that_of_its_pair(worksheet: Any) -> None:
    assert by_voltage(worksheet, PX, 60.0, 0.1009).found("ratio.tap").verdict == "within"


def test_terminals_that_are_no_pair_are_left_alone(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("C400", [make_tap("whole", 200, 5, 40), make_tap("half", 100, 5, 20)])
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "whole", v_secondary_v=20.0, v_primary_v=1.0)

    assert "fits half" in sheet.found("ratio.tap").text


def test_pairs_are_found_in_whatever_order_the_plate_names_them(worksheet: Any, make_tap: Any) -> None:
    taps = [make_tap("X3-X5", 900, 5, 180), make_tap("X2-X3", 100, 5, 20), make_tap("X1-X2", 200, 5, 40)]
    sheet = worksheet("C400", taps)
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "X3-X5", v_secondary_v=240.0, v_primary_v=1.0)

    assert "fits X1-X5" in sheet.found("ratio.tap").text


def test_a_tap_without_a_reading_is_not_tested(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("0.5 10 VA", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)])
    sheet.key("ratio", **AT_BURDEN)
    sheet.key("ratio", "S1-S3", i_percent_rated_percent=100, ratio_error_read_percent=0.1)

    assert sheet.found("ratio.reading", "S1-S2").verdict == "not tested"


def test_a_row_that_the_plate_has_no_tap_for_is_referred(worksheet: Any) -> None:
    sheet = by_voltage(worksheet, PX, 60.0, 0.1)
    sheet.key("ratio", "S7-S8", v_secondary_v=60, v_primary_v=0.1)

    assert sheet.found("ratio.unknown_tap").verdict == "refer"


def test_polarity_that_opposes_is_outside(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "S1-S2", v_secondary_v=60, v_primary_v=0.1, polarity_read="opposes")

    found = sheet.found("ratio.polarity")

    assert (found.verdict, found.value, found.limit) == ("outside", "opposes", "agrees")


@pytest.mark.parametrize("phase", [10795.0, -10790.0, 9000.0])
def test_half_a_turn_of_displacement_is_a_reversed_polarity(worksheet: Any, phase: float) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", **AT_BURDEN)
    sheet.key(
        "ratio", "S1-S2",
        i_percent_rated_percent=100, ratio_error_read_percent=0.1, phase_displacement_arcmin=phase,
    )  # fmt: skip

    assert sheet.found("ratio.polarity").verdict == "outside"


def test_a_reversed_winding_keeps_its_own_small_displacement(worksheet: Any) -> None:
    sheet = by_instrument(worksheet, "0.5 10 VA", 100.0, 0.1, -10790.0)

    assert sheet.found("ratio.phase").value == pytest.approx(10.0)
    assert sheet.found("ratio.polarity").verdict == "refer"


def test_a_small_displacement_alone_tells_that_polarity_agrees(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", **AT_BURDEN)
    sheet.key("ratio", "S1-S2", ratio_error_read_percent=0.1, phase_displacement_arcmin=12)

    assert sheet.derived("ratio", "polarity", "S1-S2").value == "agrees"


def test_a_displacement_of_a_quarter_turn_tells_no_polarity(worksheet: Any) -> None:
    assert (
        by_instrument(worksheet, "0.5 10 VA", 100.0, 0.1, 5000.0).found("ratio.polarity").verdict == "refer"
    )


def test_no_polarity_is_not_tested(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "S1-S2", v_secondary_v=60, v_primary_v=0.1)

    assert sheet.found("ratio.polarity").verdict == "not tested"


def test_a_word_that_is_no_polarity_is_referred(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "S1-S2", v_secondary_v=60, v_primary_v=0.1, polarity_read="sideways")

    assert sheet.found("ratio.polarity").verdict == "refer"


def test_polarity_typed_as_text_that_is_no_answer_is_quoted(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "S1-S2", v_secondary_v=60, v_primary_v=0.1)
    sheet.add("ratio", "S1-S2", "polarity_read", "ok?", value_text=None)

    found = sheet.found("ratio.polarity")

    assert found.verdict == "not tested"
    assert "“ok?”" in found.text


def test_takes_at_other_currents_stand_beside_each_other(worksheet: Any) -> None:
    sheet = by_instrument(worksheet, "0.5 10 VA", 100.0, 0.1, 0.0)
    sheet.key("ratio", take=2, **AT_BURDEN)
    sheet.key("ratio", "S1-S2", take=2, i_percent_rated_percent=20, ratio_error_read_percent=0.8)

    verdicts = {entry.take: entry.verdict for entry in sheet.findings() if entry.rule == "ratio.error"}

    assert verdicts == {1: "within", 2: "outside"}


def test_a_retest_at_the_same_current_replaces(worksheet: Any) -> None:
    sheet = by_instrument(worksheet, "0.5 10 VA", 100.0, 0.9, 0.0)
    sheet.key("ratio", take=2, retest_reason_text="clip had slipped", **AT_BURDEN)
    sheet.key("ratio", "S1-S2", take=2, i_percent_rated_percent=100, ratio_error_read_percent=0.1)

    assert (sheet.found("ratio.error").take, sheet.found("ratio.error").verdict) == (2, "within")


def test_the_uncertainty_of_a_quotient_joins_both_meters(worksheet: Any) -> None:
    """0.1 % and 0.2 % of reading: U = 2 sqrt(0.01 + 0.04)/sqrt3 = 0.2582 %. Source: JCGM 100:2008, 5.1.2."""
    sheet = worksheet(PX)
    sheet.instruments = (
        Instrument(instrument_id="v1", name_text="Voltmeter 1", spec_reading_percent=0.1),
        Instrument(instrument_id="v2", name_text="Voltmeter 2", spec_reading_percent=0.2),
    )
    sheet.key("ratio", ratio_method="voltage")
    sheet.add("ratio", "S1-S2", "v_secondary_v", "60.00000", instrument_id="v1")
    sheet.add("ratio", "S1-S2", "v_primary_v", "0.1000000", instrument_id="v2")

    found = sheet.derived("ratio", "turns_ratio_error_percent", "S1-S2")

    assert found.u_expanded == pytest.approx(0.2582, abs=5e-5)
