"""Limits of the office replace a limit, and nothing else that a pass needs."""

from __future__ import annotations

from typing import Any

import pytest

from tests.ctcore.wrong_within.scene import AT_75, cored, curved, override


def test_readings_that_end_early_are_no_pass_by_a_wider_limit_of_the_office(worksheet: Any) -> None:
    """10 mA on the plate is passed at the last reading; 50 mA of the office says nothing of 600 V."""
    sheet = curved(worksheet, "PX Ek 600 V Ie 10 mA Rct 2.5 ohm")
    sheet.references = override("excitation.ie_at_ek", None, 0.5)

    assert sheet.found("excitation.ie_at_ek").verdict == "not tested"


def test_a_curve_short_of_its_emf_is_no_pass_by_a_wider_limit_of_the_office(worksheet: Any) -> None:
    sheet = cored(worksheet, "5P20 15 VA", low_leakage=True)
    sheet.points([100, 150, 200, 220], [0.1, 0.2, 0.6, 1.4])
    sheet.references = override("excitation.composite", None, 10.0)

    assert sheet.found("excitation.composite").verdict == "not tested"


def test_a_c_curve_short_of_its_emf_is_no_pass_by_a_wider_limit_of_the_office(
    worksheet: Any, make_tap: Any
) -> None:
    sheet = cored(worksheet, "C400", ohm=0.5, taps=[make_tap("X1-X5", 1200, 5, 240)])
    sheet.points([100, 200, 300, 350], [0.1, 0.2, 2.0, 12.0])
    sheet.references = override("excitation.relay", None, 20.0)

    assert sheet.found("excitation.relay").verdict == "not tested"


def test_a_stiff_core_is_no_pass_by_a_wider_security_limit_of_the_office(worksheet: Any) -> None:
    """0.5 A is not reached at 460 V; a limit of 500 V cannot be judged by these readings."""
    sheet = curved(worksheet, "0.5 FS5 10 VA")
    sheet.references = override("excitation.security", None, 500.0)

    assert sheet.found("excitation.security").verdict != "within"


def test_the_drop_in_the_winding_is_held_against_the_limit_of_the_office(worksheet: Any) -> None:
    """4.0 % at E against 4.1 % of the office; with the drop counted in full more, though below 5 %."""
    sheet = cored(worksheet, "5P20 15 VA", ohm=9.0, low_leakage=True)
    sheet.points([200, 400, 440, 460, 480, 500], [0.2, 0.5, 0.68, 0.76, 0.84, 0.92])
    plain = sheet.found("excitation.composite").value
    sheet.references = override("excitation.composite", None, float(str(plain)) + 0.01)

    assert sheet.found("excitation.composite").verdict == "refer"


def test_the_drop_of_a_turns_ratio_is_held_against_the_limit_of_the_office(worksheet: Any) -> None:
    """0.06 % may be lost in the winding, and the office asks for 0.1 %: more than a third of it."""
    sheet = worksheet("PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("resistance", **AT_75)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "S1-S2", v_secondary_v=60.0, v_primary_v=0.1, i_excitation_a=0.018)
    sheet.references = override("ratio.turns", -0.1, 0.1)

    assert sheet.found("ratio.turns").verdict == "refer"


@pytest.mark.parametrize("missing", [{"reason_text": " "}, {"person_text": ""}])
def test_a_limit_of_the_office_without_reason_or_name_is_no_pass(
    worksheet: Any, missing: dict[str, str]
) -> None:
    sheet = worksheet("PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("resistance", **AT_75)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.8)
    sheet.references = override("resistance.limit", None, 3.0, **missing)

    assert sheet.found("resistance.limit").verdict == "refer"


def test_two_limits_of_resistance_on_one_plate_are_no_pass_by_the_wider(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 200 V Ie 30 mA Rct 2.5 ohm", r_winding_75degc_plate_ohm=5.0)
    sheet.key("resistance", **AT_75)
    sheet.key("resistance", "S1-S2", r_measured_ohm=3.0)

    found = sheet.found("resistance.limit")

    assert found.verdict == "refer"
    assert "2.5" in found.text
