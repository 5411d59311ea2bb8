"""Knees, and the classes that are judged by a knee point."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.job import Instrument
from tests.ctcore.procedures.keyed_curve import AS_ASKED, VOLTS, amperes, taken


def test_all_three_knees_are_derived(worksheet: Any) -> None:
    """386.2177, 353.7082, 376.452 V in closed form; 0.3 % for interpolation. Source: IEC 61869-2, 3.4.215."""
    sheet = taken(worksheet, "PX Ek 350 V Ie 30 mA Rct 2.5 ohm")

    assert sheet.derived("excitation", "v_knee_iec_v").value == pytest.approx(386.2177, rel=3e-3)
    assert sheet.derived("excitation", "v_knee_tangent45_v").value == pytest.approx(353.7082, rel=3e-3)
    assert sheet.derived("excitation", "v_knee_tangent30_v").value == pytest.approx(376.452, rel=3e-3)


def test_knees_without_stated_instruments_carry_no_uncertainty(worksheet: Any) -> None:
    assert taken(worksheet, "0.5 10 VA").derived("excitation", "v_knee_iec_v").u_expanded is None


def test_stated_instruments_give_the_knee_its_uncertainty(worksheet: Any) -> None:
    """The part common to all volts does not average out: U is at least 2 x 0.2 %/sqrt3 of the knee."""
    sheet = worksheet("0.5 10 VA")
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Meter 1", spec_reading_percent=0.2),)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS, amperes(VOLTS), instrument_id="m1")

    found = sheet.derived("excitation", "v_knee_iec_v")

    assert found.u_expanded is not None
    assert 2 * 0.002 / 3**0.5 * 386 <= found.u_expanded < 10.0


def test_an_instrument_floor_in_another_dimension_states_nothing(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.instruments = (
        Instrument(instrument_id="m1", name_text="Meter 1", spec_floor=0.1, spec_floor_unit="s"),
    )
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS, amperes(VOLTS), instrument_id="m1")

    assert sheet.derived("excitation", "v_knee_iec_v").u_expanded is None


def test_px_above_its_knee_is_within_on_all_three_checks(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 380 V Ie 30 mA Rct 2.5 ohm")

    verdicts = {rule: sheet.found(f"excitation.{rule}").verdict for rule in ("ie_at_ek", "step", "knee")}

    assert verdicts == {"ie_at_ek": "within", "step": "within", "knee": "within"}


def test_px_below_its_rated_knee_is_outside(worksheet: Any) -> None:
    """+10 % raises Ie by at most 50 % at rated Ek. Source: IEC 61869-2:2012, 3.4.215 to 3.4.217."""
    sheet = taken(worksheet, "PX Ek 400 V Ie 20 mA Rct 2.5 ohm")

    verdicts = {rule: sheet.found(f"excitation.{rule}").verdict for rule in ("ie_at_ek", "step", "knee")}

    assert verdicts == {"ie_at_ek": "outside", "step": "outside", "knee": "outside"}


def test_px_can_pass_without_a_knee_inside_the_readings(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 300 V Ie 30 mA Rct 2.5 ohm", volts=VOLTS[:9])

    assert sheet.found("excitation.step").verdict == "within"
    assert "excitation.knee" not in sheet.rules()


def test_px_stopped_below_1_1_ek_is_not_tested_and_says_the_volts(worksheet: Any) -> None:
    found = taken(worksheet, "PX Ek 330 V Ie 30 mA Rct 2.5 ohm", volts=VOLTS[:9]).found("excitation.step")

    assert found.verdict == "not tested"
    assert "363.0" in found.text


def test_px_over_its_current_before_ek_is_outside_all_the_same(worksheet: Any) -> None:
    found = taken(worksheet, "PX Ek 600 V Ie 10 mA Rct 2.5 ohm").found("excitation.ie_at_ek")

    assert found.verdict == "outside"
    assert "Already at" in found.text


def test_px_readings_that_start_too_high_are_not_tested(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 30 V Ie 30 mA Rct 2.5 ohm")

    assert sheet.found("excitation.ie_at_ek").verdict == "not tested"
    assert "start at" in sheet.found("excitation.step").text


def test_px_current_may_be_stated_at_part_of_ek(worksheet: Any) -> None:
    found = taken(worksheet, "PX Ek 380 V Ie 13.5 mA at 50 % Ek Rct 2.5 ohm").found("excitation.ie_at_ek")

    assert found.value == pytest.approx(float(amperes(190.0)), rel=1e-3)


def test_px_without_ek_is_referred(worksheet: Any) -> None:
    assert taken(worksheet, "PX Rct 2.5 ohm").found("excitation.ek").verdict == "refer"


def test_px_without_ie_is_judged_by_its_step_and_referred(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 380 V Rct 2.5 ohm")

    assert sheet.found("excitation.step").verdict == "within"
    assert sheet.found("excitation.ie_at_ek").verdict == "refer"
