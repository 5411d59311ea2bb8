"""What one slip or gap in the readings of a curve could make the core say."""

from __future__ import annotations

from typing import Any

from tests.ctcore.wrong_within.scene import cored, curved


def test_a_current_that_falls_while_the_voltage_rises_proves_no_class(worksheet: Any) -> None:
    """A decimal slip on the one point at E_ALF, 332.9 V: 0.0217 A keyed where 0.217 A was read."""
    sheet = cored(worksheet, "5P20 15 VA", low_leakage=True)
    sheet.points([200, 300, 320, 332, 345], [0.1, 0.9, 1.2, 0.14, 1.9])

    found = sheet.found("excitation.composite")

    assert found.verdict == "refer"
    assert "falls" in found.text


def test_a_slip_on_the_first_point_does_not_pass_the_security_factor(worksheet: Any) -> None:
    """FS5 at 1 A: 0.5 A below 58.3 V; 0.6 A keyed for 0.6 mA would pass a core that is stiff to 80 V."""
    sheet = cored(worksheet, "0.5 FS5 10 VA")
    sheet.points([20, 40, 60, 80, 90], [0.6, 0.01, 0.02, 0.05, 0.9])

    assert sheet.found("excitation.security").verdict == "refer"


def test_a_wide_gap_between_readings_about_the_emf_is_no_pass(worksheet: Any) -> None:
    """E_ALF is 332.9 V; nothing was read from 100 V to 460 V, where the current passes the limit of 1 A."""
    sheet = cored(worksheet, "5P20 15 VA", low_leakage=True)
    sheet.points([50, 100, 460], [0.005, 0.01, 1.3])

    found = sheet.found("excitation.composite")

    assert found.verdict == "refer"
    assert "Nothing was read between 100.0" in found.text


def test_a_wide_gap_whose_upper_reading_is_below_the_limit_is_a_pass(worksheet: Any) -> None:
    """The current rises with the voltage, so that what holds at 460 V holds below."""
    sheet = cored(worksheet, "5P20 15 VA", low_leakage=True)
    sheet.points([50, 100, 460], [0.005, 0.01, 0.05])

    assert sheet.found("excitation.composite").verdict == "within"


def test_a_wide_gap_about_ek_is_no_pass_of_its_current(worksheet: Any) -> None:
    sheet = cored(worksheet, "PX Ek 200 V Ie 60 mA Rct 2.5 ohm")
    sheet.points([20, 50, 400], [0.004, 0.008, 0.09])

    assert sheet.found("excitation.ie_at_ek").verdict == "refer"


def test_a_wide_gap_about_ek_is_no_pass_of_its_step(worksheet: Any) -> None:
    sheet = cored(worksheet, "PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.points([20, 50, 150, 400], [0.004, 0.008, 0.02, 0.09])

    assert sheet.found("excitation.step").verdict == "refer"


def test_readings_at_ek_and_at_1_1_ek_need_no_neighbours_between(worksheet: Any) -> None:
    """The five points at 0.25, 0.5, 0.75, 1.0 and 1.1 Ek of many forms. Common practice, no source."""
    sheet = cored(worksheet, "PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.points([50, 100, 150, 200, 220], [0.004, 0.008, 0.012, 0.018, 0.024])

    assert sheet.found("excitation.step").verdict == "within"


def test_a_wide_gap_about_the_emf_of_class_c_is_no_pass(worksheet: Any, make_tap: Any) -> None:
    sheet = cored(worksheet, "C400", ohm=0.5, taps=[make_tap("X1-X5", 1200, 5, 240)])
    sheet.points([50, 100, 150, 600], [0.02, 0.03, 0.05, 10.5])

    assert sheet.found("excitation.relay").verdict == "refer"


def test_a_px_plate_without_ie_is_no_pass_by_its_step(worksheet: Any) -> None:
    """PX limits the exciting current at Ek. Source: IEC 61869-2:2012, 5.6.202.4."""
    found = curved(worksheet, "PX Ek 380 V Rct 2.5 ohm").found("excitation.ie_at_ek")

    assert found.verdict == "refer"
