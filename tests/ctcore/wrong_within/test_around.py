"""Sizes below zero, bounds, and the tests around the curve."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.job import Instrument, References
from tests.ctcore.wrong_within.scene import AS_ASKED, AT_75, AT_BURDEN, cored, curved


def test_a_residual_below_zero_is_no_null(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.key("injection", "two_phases", i_primary_a=600, i_secondary_a=1, i_residual_a=-2)

    assert sheet.found("injection.residual_two_phases").verdict == "not tested"


def test_a_remanence_below_zero_is_not_within(worksheet: Any) -> None:
    sheet = curved(worksheet, "5PR20 15 VA", low_leakage=True)
    sheet.key("excitation", further_readings="remanence", remanence_read_percent=-50)

    assert sheet.found("excitation.remanence").verdict != "within"


@pytest.mark.parametrize(
    ("row", "ohm", "bound"),
    [
        ("earth_lifted", "2e6", "under_range"),
        ("earth_lifted", "0.5e6", "over_range"),
        ("earth_joint", "2", "under_range"),
        ("earth_joint", "0.5", "over_range"),
    ],
)
def test_a_bound_that_cannot_tell_is_referred(worksheet: Any, row: str, ohm: str, bound: str) -> None:
    """Below 2 MOhm may be a short, above 0.5 MOhm may be sound; so with 2 ohm and 0.5 ohm of a joint."""
    sheet = worksheet("5P20 15 VA")
    sheet.add("links_back", row, "r_proof_ohm", ohm, **{bound: True})

    assert sheet.found(f"links_back.{row}").verdict == "refer"


def test_a_loop_under_range_is_referred(worksheet: Any) -> None:
    """A shorting link left in reads "< 0.1 ohm", and so may those of its sisters."""
    sheet = worksheet("5P20 15 VA", phases=3)
    sheet.add("links_back", "loop", "r_proof_ohm", "0.1", core=0, under_range=True)
    sheet.add("links_back", "loop", "r_proof_ohm", "0.1", core=1)
    sheet.add("links_back", "loop", "r_proof_ohm", "0.1", core=2)

    assert sheet.found("links_back.loop").verdict == "refer"


def test_an_earth_lifted_over_range_says_that_its_limit_is_from_memory(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.add("links_back", "earth_lifted", "r_proof_ohm", "2e9", over_range=True)

    found = sheet.found("links_back.earth_lifted")

    assert found.verdict == "within"
    assert "check against the standard" in found.text


def test_links_of_which_none_was_lifted_are_no_pass(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.key("visual", links_found_count=12, links_lifted_count=0)

    assert sheet.found("visual.links").verdict == "refer"


def burdened(worksheet: Any, make_tap: Any, service: str) -> Any:
    taps = [make_tap("X1-X5", 1200, 5, 240), make_tap("X1-X3", 600, 5, 120)]
    sheet = worksheet("C400", taps, service_tap_id=service)
    sheet.key("burden", "connected", v_burden_v=15.0, i_burden_a=5.0, phase_burden_deg=0)
    return sheet


def test_the_burden_of_a_class_is_not_that_of_a_lower_tap_in_service(worksheet: Any, make_tap: Any) -> None:
    """75 VA: C400 is proved with 100 VA on the whole winding, on half the turns with 50 VA."""
    assert burdened(worksheet, make_tap, "X1-X5").found("burden.range").verdict == "within"
    assert burdened(worksheet, make_tap, "X1-X3").found("burden.range").verdict != "within"


def test_a_burden_by_meters_of_no_stated_error_is_referred_by_a_guarded_rule(
    worksheet: Any, make_tap: Any
) -> None:
    sheet = burdened(worksheet, make_tap, "X1-X5")
    sheet.references = References(decision_rule="guard_band")

    assert sheet.found("burden.range").verdict == "refer"


def test_a_measuring_burden_says_that_its_floor_is_from_memory(worksheet: Any, make_tap: Any) -> None:
    """0.5 2.5 VA: the lower end is the floor of 1 VA, which is from memory."""
    sheet = worksheet("0.5 2.5 VA", [make_tap("S1-S2", 600, 1)])
    sheet.key("burden", "connected", v_burden_v=1.2, i_burden_a=1.0, phase_burden_deg=0)

    found = sheet.found("burden.range")

    assert found.verdict == "within"
    assert "check against the standard" in found.text


def test_one_earth_rests_on_memory_and_says_so(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.key("visual", earths_drawn_count=1, earths_found_count=1)

    found = sheet.found("visual.earths")

    assert (found.verdict, found.limit_standing) == ("within", "from memory")
    assert "check against the standard" in found.text


def test_a_table_by_limits_from_memory_says_so(worksheet: Any) -> None:
    """5P: 1 % and 60 minutes at rated current are from memory."""
    sheet = worksheet("5P20 15 VA", low_leakage=True)
    sheet.key("resistance", **AT_75)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([5, 10, 15, 20, 25], [0.001, 0.002, 0.003, 0.004, 0.005])

    found = sheet.found("excitation.table_calculated")

    assert found.limit_standing == "from memory"
    assert "check against the standard" in found.text


def test_a_null_of_hardly_any_current_is_no_null(worksheet: Any) -> None:
    """1 % of rated current injected. A quarter of rated is asked for by the trade's books."""
    sheet = worksheet("5P20 15 VA")
    sheet.key("injection", "two_phases", i_primary_a=6, i_secondary_a=0.01, i_residual_a=0)

    assert sheet.found("injection.residual_two_phases").verdict == "refer"


def test_a_reference_transformer_of_unstated_uncertainty_is_referred_by_a_guarded_rule(
    worksheet: Any,
) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Meter 1", spec_reading_percent=0.05),)
    sheet.references = References(decision_rule="guard_band")
    sheet.key("ratio", **{**AT_BURDEN, "ratio_method": "comparison"})
    sheet.key("ratio", k_reference_ratio=600, reference_error_percent=0.0)
    sheet.add("ratio", "S1-S2", "i_reference_a", "1.0000", instrument_id="m1")
    sheet.add("ratio", "S1-S2", "i_secondary_a", "1.0000", instrument_id="m1")

    assert sheet.found("ratio.error").verdict == "refer"


@pytest.mark.parametrize(
    ("row", "ohm", "bound"),
    [("earth_lifted", "2e9", {}), ("earth_lifted", "2e9", {"over_range": True}), ("earth_joint", "0.1", {})],
)
def test_an_expired_meter_proves_no_earth(worksheet: Any, row: str, ohm: str, bound: dict[str, bool]) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Meter 1", due_on="2026-01-31"),)
    sheet.add("links_back", row, "r_proof_ohm", ohm, instrument_id="m1", **bound)

    assert sheet.found(f"links_back.{row}").verdict == "refer"


def test_two_voltages_apart_by_a_last_binary_digit_are_one(worksheet: Any) -> None:
    """Such a pair has no slope between its logarithms, and a curve through it would be no number."""
    sheet = cored(worksheet, "PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.points([50, 100, 150, 200, 200.00000000000003, 220], [0.004, 0.008, 0.012, 0.018, 0.018, 0.024])

    assert sheet.found("excitation.ie_at_ek").value == pytest.approx(0.018)
    assert sheet.found("excitation.reversed").verdict == "refer"
