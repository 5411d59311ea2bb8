"""What is derived of the tests of a day, and the rarer ends."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.ctcore.procedures.keyed_day import burden, curve, injected, verdict

# What is derived, and the rarer ends


def test_values_are_derived_row_by_row(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet(phases=2)
    injected(sheet, "two_phases", 300.0, 0.505, 0.0101)
    sheet.key("kick", "S1-S2", kick_make="down", kick_break="up")
    for core, ohm in enumerate((6.6, 6.0)):
        sheet.key("links_back", "loop", core=core, r_proof_ohm=ohm)

    assert sheet.derived("injection", "ratio_error_percent", "two_phases").value == pytest.approx(1.0)
    assert sheet.derived("injection", "i_residual_share_percent", "two_phases").value == pytest.approx(2.0)
    assert sheet.derived("kick", "polarity", "S1-S2").value == "opposes"
    assert sheet.derived("links_back", "r_loop_spread_percent", "loop").value == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("class_text", "volts", "expected"),
    [
        ("0.3 B-0.5", 2.0, "within"),
        ("0.3 B-0.5", 3.0, "outside"),
        ("TPY Kssc 20 Ktd 12 Ts 0.5 s Rb 10 ohm", 45.0, "within"),
        ("TPY Kssc 20 Ktd 12 Ts 0.5 s Rb 10 ohm", 55.0, "outside"),
    ],
)
def test_named_and_resistive_burdens_are_limits_as_well(
    worksheet: Callable[..., Any],
    make_tap: Callable[..., Any],
    class_text: str,
    volts: float,
    expected: str,
) -> None:
    """B-0.5 is 12.5 VA at 5 A (IEEE C57.13); 10 ohm are 250 VA at 5 A; arithmetic."""
    sheet = worksheet(class_text, [make_tap("X1-X5", 600, 5.0)])
    burden(sheet, volts, 5.0)

    assert verdict(sheet, "burden.range") == expected


def test_a_burden_without_plate_or_readings_says_so(worksheet: Callable[..., Any]) -> None:
    bare, unread, half = worksheet(taps=[]), worksheet("what is this"), worksheet()
    burden(bare, 5.0)
    burden(unread, 5.0)
    half.key("burden", "connected", i_burden_a=1.0)

    assert verdict(bare, "burden.tap") == "refer"
    assert verdict(unread, "burden.class") == "refer"
    assert verdict(half, "burden.reading") == "not tested"


def test_leads_of_no_standard_cross_section_are_not_guessed(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("burden", wire_area_mm2=2.7, wire_length_m=50)
    burden(sheet, 5.0)
    sheet.key("burden", "leads", v_burden_v=0.7, i_burden_a=1.0)

    assert "burden.leads" not in sheet.rules()


def test_an_injection_that_is_not_whole_is_not_tested(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("injection", "one_phase", i_secondary_a=0.5)
    sheet.key("injection", "two_phases", i_primary_a=300.0, i_secondary_a=0.0, i_residual_a=0.1)

    assert verdict(sheet, "injection.ratio", "one_phase") == "not tested"
    assert verdict(sheet, "injection.residual_one_phase") == "not tested"
    assert verdict(sheet, "injection.ratio", "two_phases") == "not tested"
    assert verdict(sheet, "injection.residual_two_phases") == "not tested"


def test_a_missing_end_and_start_of_demagnetising_are_told_with_the_plan(
    worksheet: Callable[..., Any],
) -> None:
    sheet = worksheet()
    curve(sheet)
    sheet.key("demagnetising", demagnetising_method="ac_ramp")
    sheet.key("demagnetising", "winding", steps_count=22)

    assert verdict(sheet, "demagnetising.end") == "not tested"
    assert "Run down in 23 steps" in sheet.found("demagnetising.start").text
