"""How an excitation test was made, and on which tap."""

from __future__ import annotations

from typing import Any

import pytest

from tests.ctcore.procedures.keyed_curve import AS_ASKED, VOLTS, amperes


def test_a_fail_with_the_wrong_meter_stays_outside(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 300 V Ie 1 mA Rct 2.5 ohm")
    sheet.key("excitation", **{**AS_ASKED, "voltage_response": "true_rms"})
    sheet.points(VOLTS, amperes(VOLTS))

    assert sheet.found("excitation.ie_at_ek").verdict == "outside"


def test_a_fail_with_the_primary_closed_is_referred(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 300 V Ie 1 mA Rct 2.5 ohm")
    sheet.key("excitation", **{**AS_ASKED, "primary_state": "closed"})
    sheet.points(VOLTS, amperes(VOLTS))

    assert sheet.found("excitation.ie_at_ek").verdict == "refer"


def test_another_frequency_scales_the_volts_and_says_so(worksheet: Any) -> None:
    """Flux goes as V/f: 60 Hz volts times 50/60. Source: arithmetic."""
    sheet = worksheet("PX Ek 300 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("excitation", **{**AS_ASKED, "frequency_hz": 60})
    sheet.points(VOLTS * 1.2, amperes(VOLTS))

    assert sheet.derived("excitation", "v_highest_v").value == pytest.approx(460.0)
    assert "scaled by 0.8333 to 50" in sheet.found("excitation.ie_at_ek").text


def test_a_lower_tap_is_compared_only(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("PX Ek 300 V Ie 30 mA Rct 2.5 ohm", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)])
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS, amperes(VOLTS))

    assert sheet.found("excitation.ie_at_ek").verdict == "refer"


def test_not_saying_which_of_two_taps_was_fed_is_referred(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("PX Ek 300 V Ie 30 mA Rct 2.5 ohm", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)])
    sheet.key("excitation", frequency_hz=50)
    sheet.points(VOLTS, amperes(VOLTS))

    assert sheet.found("excitation.tap").verdict == "refer"


def test_curves_of_two_taps_stand_beside_each_other(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("PX Ek 300 V Ie 30 mA Rct 2.5 ohm", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)])
    for take, fed in ((1, "s1 - s3"), (2, "S1-S2")):
        sheet.key("excitation", take=take, **{**AS_ASKED, "tap_id": fed})
        sheet.points(VOLTS, amperes(VOLTS), take=take)

    verdicts = {
        entry.take: entry.verdict for entry in sheet.findings() if entry.rule == "excitation.ie_at_ek"
    }

    assert verdicts == {1: "within", 2: "refer"}
