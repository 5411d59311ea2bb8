"""The turns ratio by the voltage method."""

from __future__ import annotations

from typing import Any

import pytest

from tests.ctcore.procedures.keyed_ratio import FOUR_WIRE, PX, by_voltage


def test_the_voltage_method_gives_the_turns_ratio(worksheet: Any, make_tap: Any) -> None:
    """120 V over 0.5012 V on 240 turns: 239.42538, +0.24 %. Source: voltage method, common practice."""
    sheet = worksheet("C400", [make_tap("X1-X5", 1200, 5, 240)])
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "X1-X5", v_secondary_v=120.0, v_primary_v=0.5012)

    assert sheet.derived("ratio", "turns_ratio", "X1-X5").value == pytest.approx(239.42538, abs=5e-6)
    assert sheet.derived("ratio", "turns_ratio_error_percent", "X1-X5").value == pytest.approx(0.24, abs=1e-4)


def test_a_turns_ratio_is_no_ratio_error_and_is_referred_for_5p(worksheet: Any) -> None:
    found = by_voltage(worksheet, "5P20 15 VA", 60.0, 0.1).found("ratio.turns_only")

    assert found.verdict == "refer"
    assert found.value == pytest.approx(0.0, abs=1e-9)


def test_px_judges_the_turns_ratio_and_on_the_limit_passes(worksheet: Any) -> None:
    """PX +-0.25 %. Source: IEC 61869-2:2012, 5.6.202.4, from memory."""
    found = by_voltage(worksheet, PX, 60.0, 0.10024, i_excitation_a=0.001).found("ratio.turns")

    assert (found.verdict, found.limit_standing) == ("within", "from memory")
    assert found.text.endswith("check against the standard.")


def test_px_beyond_its_turns_ratio_is_outside(worksheet: Any) -> None:
    found = by_voltage(worksheet, PX, 60.0, 0.1003, i_excitation_a=0.001).found("ratio.turns")

    assert found.verdict == "outside"
    assert found.value == pytest.approx(0.3, abs=1e-9)


def test_px_without_the_exciting_current_is_referred(worksheet: Any) -> None:
    assert by_voltage(worksheet, PX, 60.0, 0.1).found("ratio.turns").verdict == "refer"


def test_px_takes_the_exciting_current_from_the_curve_of_that_tap(worksheet: Any) -> None:
    sheet = by_voltage(worksheet, PX, 60.0, 0.1)
    sheet.key("excitation", tap_id="S1-S2", frequency_hz=50)
    sheet.points([100, 150, 200, 220], [0.001, 0.002, 0.004, 0.02])

    assert sheet.found("ratio.turns").verdict == "within"


def test_a_drop_over_a_third_of_the_limit_is_referred(worksheet: Any) -> None:
    """0.3 A in 0.05 ohm on 5 V is 0.3 %. Source: arithmetic."""
    sheet = worksheet(PX)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=0.05)
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "S1-S2", v_secondary_v=5.0, v_primary_v=5.0 / 600, i_excitation_a=0.3)

    found = sheet.found("ratio.turns")

    assert found.verdict == "refer"
    assert "0.3 %" in found.text


def test_a_drop_that_could_hide_a_passed_limit_is_referred(worksheet: Any) -> None:
    """0.02 A in 2 ohm on 60 V is 0.067 %: 0.2 % read could be 0.267 % of e.m.f."""
    found = by_voltage(worksheet, PX, 60.0, 0.1002, i_excitation_a=0.02).found("ratio.turns")

    assert found.verdict == "refer"


def test_px_by_current_is_referred(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("ratio", ratio_method="current")
    sheet.key("ratio", "S1-S2", i_primary_a=600, i_secondary_a=1)

    assert sheet.found("ratio.needs_turns").verdict == "refer"
