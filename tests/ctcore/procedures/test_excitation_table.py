"""Tables of errors calculated from the curve."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from ctcore.job import References
from tests.ctcore.procedures.keyed_beside import (
    AS_ASKED,
    HIGH,
    LOW,
    TABLE,
    _derived,
    amperes,
    core_of,
    direct,
    linear,
)


def test_the_table_of_a_class_is_calculated_cell_by_cell(worksheet: Any) -> None:
    """E = |2 + 8 + 6j| = 11.66 V, x = 0.001166: 0.1167 % and 4.0 minutes. Source: IEC 61869-2, Annex 2E."""
    cell = linear(worksheet, "0.5 10 VA").derived("excitation", "errors_calculated_text", "100 % 10 VA")

    assert cell.value == "+0.12 %, ±4.0′"


def test_with_the_angle_read_errors_are_calculated_and_not_bounded(worksheet: Any) -> None:
    """A lag of 90 degrees to an e.m.f. 30.96 degrees ahead: -0.0600 % and +3.44 minutes. Source: Annex 2A."""
    sheet = linear(worksheet, "0.5 10 VA")
    for row in range(1, len(LOW) + 1):
        sheet.key("excitation", str(row), phase_excitation_deg=90.0)

    cell = sheet.derived("excitation", "errors_calculated_text", "100 % 10 VA")

    assert cell.value == "−0.06 %, +3.4′"
    assert "with the angle read" in sheet.found(TABLE).text


def test_a_table_without_a_direct_test_is_never_within(worksheet: Any) -> None:
    found = linear(worksheet, "0.5 10 VA").found(TABLE)

    assert (found.verdict, found.value) == ("refer", "8 of 8 within")
    assert "calculated, not a substitute for the direct test" in found.text


def test_a_table_beside_a_direct_test_may_be_within(worksheet: Any) -> None:
    found = direct(linear(worksheet, "0.5 10 VA")).found(TABLE)

    assert found.verdict == "within"
    assert "calculated, not a substitute for the direct test" in found.source


@pytest.mark.parametrize("rule", ["guard_band", "four_way"])
def test_a_table_is_not_within_where_the_rule_asks_for_uncertainty(worksheet: Any, rule: Any) -> None:
    sheet = direct(linear(worksheet, "0.5 10 VA"))
    sheet.references = References(decision_rule=rule)

    assert sheet.found(TABLE).verdict == "not applicable"


def test_a_cell_beyond_its_limit_by_both_bounds_is_outside(worksheet: Any, make_tap: Any) -> None:
    """590 turns of 600 read 1.7 % high whatever the exciting current of 0.12 % does."""
    sheet = linear(worksheet, "0.5 10 VA")
    sheet.cores = [replace(sheet.cores[0], taps=(make_tap("S1-S2", 600, turns=590.0),))]

    found = sheet.found(TABLE)

    assert found.verdict == "outside"
    assert "Outside: " in found.text


def test_a_table_outside_on_turns_that_nobody_knows_is_referred(worksheet: Any) -> None:
    sheet = linear(worksheet, "0.5 10 VA", 0.02)
    own = replace(sheet.cores[0].taps[0], turns_secondary_count=None)
    sheet.cores = [replace(sheet.cores[0], taps=(own,))]

    assert "not known" in sheet.found(TABLE).text
    assert sheet.found(TABLE).verdict == "refer"


def test_the_turns_found_by_voltage_go_before_those_of_the_plate(worksheet: Any) -> None:
    sheet = linear(worksheet, "0.5 10 VA")
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "S1-S2", v_secondary_v=590, v_primary_v=1)

    assert sheet.found(TABLE).verdict == "outside"


def test_cells_that_the_angle_would_decide_are_named(worksheet: Any) -> None:
    sheet = linear(worksheet, "0.5 10 VA", 1e-3)

    found = sheet.found(TABLE)

    assert found.verdict == "refer"
    assert "Not decided: " in found.text


def test_readings_that_start_above_every_emf_reach_nothing(worksheet: Any) -> None:
    sheet = core_of(worksheet, "0.5 10 VA")
    sheet.key("excitation", **AS_ASKED)
    sheet.points(HIGH, amperes(HIGH))

    assert (sheet.found(TABLE).verdict, sheet.found(TABLE).value) == ("not applicable", "none reached")


def test_a_table_without_the_winding_resistance_is_not_tested(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("excitation", **AS_ASKED)
    sheet.points(LOW, LOW * 1e-4)

    assert sheet.found(TABLE).verdict == "not tested"


def test_a_class_without_output_on_the_plate_has_no_table(worksheet: Any) -> None:
    assert "rated output" in linear(worksheet, "0.5").found(TABLE).text


def test_a_protection_core_of_unknown_leakage_has_no_table_within(worksheet: Any) -> None:
    assert direct(linear(worksheet, "5P20 10 VA")).found(TABLE).verdict == "not applicable"
    assert direct(linear(worksheet, "5P20 10 VA", low_leakage=True)).found(TABLE).verdict == "within"


@pytest.mark.parametrize("f_hz", [50, 60])
def test_a_metering_table_is_told_as_correction_factors(worksheet: Any, f_hz: float) -> None:
    sheet = linear(worksheet, "0.3 B-0.5")
    sheet.frequency_hz = f_hz
    sheet.add("excitation", "method", "frequency_hz", f_hz, take=2)
    sheet.key("excitation", take=2, **{**AS_ASKED, "frequency_hz": f_hz})
    sheet.points(LOW, LOW * 1e-4, take=2)

    cell = sheet.derived("excitation", "errors_calculated_text", "100 % B-0.5", take=2)

    assert str(cell.value).startswith("RCF 0.9986")
    assert "TCF" in str(cell.value)


def test_the_extended_current_takes_the_place_of_120_percent(worksheet: Any) -> None:
    sheet = linear(worksheet, "0.2 ext.150 % 10 VA")
    rows = {entry.row for entry in _derived(sheet) if entry.quantity_id == "errors_calculated_text"}

    assert {"150 % 10 VA", "150 % 2.5 VA"} < rows
    assert not any(row.startswith("120 %") for row in rows)


def test_an_extended_burden_range_gives_the_lower_burden(worksheet: Any) -> None:
    sheet = linear(worksheet, "0.5 1-10 VA")
    rows = {entry.row for entry in _derived(sheet) if entry.quantity_id == "errors_calculated_text"}

    assert {"100 % 1 VA", "100 % 10 VA"} < rows


def test_on_a_lower_tap_the_table_is_only_compared_unless_the_plate_says_otherwise(
    worksheet: Any, make_tap: Any
) -> None:
    taps = [make_tap("S1-S2", 300, turns=300.0), make_tap("S1-S3", 600, turns=600.0)]
    verdicts = []
    for every in (False, True):
        sheet = direct(core_of(worksheet, "0.5 10 VA", taps=taps, class_on_every_tap=every))
        sheet.key("excitation", **AS_ASKED)
        sheet.points(LOW, LOW * 1e-4)
        verdicts.append(sheet.found(TABLE).verdict)

    assert verdicts == ["not applicable", "within"]


def test_a_rated_current_of_5_a_takes_its_burden_at_5_a(worksheet: Any, make_tap: Any) -> None:
    """10 VA at 5 A is 0.4 ohm: E = 5 |2 + 0.32 + 0.24j| = 11.66 V, x = 11.66e-4/5."""
    sheet = core_of(worksheet, "0.5 10 VA", taps=[make_tap("S1-S2", 600, 5, turns=120.0)])
    sheet.key("excitation", **AS_ASKED)
    sheet.points(LOW, LOW * 1e-4)

    assert sheet.derived("excitation", "errors_calculated_text", "100 % 10 VA").value == "+0.02 %, ±0.80′"
