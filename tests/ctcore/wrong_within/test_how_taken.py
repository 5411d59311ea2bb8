"""A curve of which it is not told how it was taken proves nothing."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.job import Instrument
from tests.ctcore.wrong_within.scene import AS_ASKED, AT_75, RISING_V, amperes, curved, insulated


@pytest.mark.parametrize("change", [{"primary_state": "Closed"}, {"links": "partly"}, {"links": "closed "}])
def test_a_word_that_is_no_answer_is_no_pass(worksheet: Any, change: dict[str, str]) -> None:
    sheet = worksheet("PX Ek 380 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("excitation", **{**AS_ASKED, **change})
    sheet.points(RISING_V, amperes(RISING_V))

    assert sheet.found("excitation.ie_at_ek").verdict == "refer"


def test_without_the_state_of_the_other_cores_there_is_no_pass(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 380 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("excitation", **{name: value for name, value in AS_ASKED.items() if name != "other_cores"})
    sheet.points(RISING_V, amperes(RISING_V))

    assert sheet.found("excitation.ie_at_ek").verdict == "refer"


def test_an_instrument_of_another_response_than_noted_is_no_pass(worksheet: Any) -> None:
    """Mean-sensing and true r.m.s. are noted, the data of the meter say peak."""
    sheet = worksheet("PX Ek 380 V Ie 30 mA Rct 2.5 ohm")
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Meter 1", response="peak"),)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(RISING_V, amperes(RISING_V), instrument_id="m1")

    found = sheet.found("excitation.ie_at_ek")

    assert found.verdict == "refer"
    assert "Meter 1" in found.text


def test_an_expired_ohmmeter_behind_the_emf_is_no_pass(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA", low_leakage=True)
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Ohmmeter 1", due_on="2026-01-31"),)
    sheet.key("resistance", **AT_75)
    sheet.add("resistance", "S1-S2", "r_measured_ohm", 2.0, instrument_id="m1")
    sheet.key("excitation", **AS_ASKED)
    sheet.points(RISING_V, amperes(RISING_V))

    found = sheet.found("excitation.composite")

    assert found.verdict == "refer"
    assert "Ohmmeter 1" in found.text


def test_a_due_date_that_cannot_be_read_is_no_pass(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Ohmmeter 1", due_on="31/01/2026"),)
    sheet.key("resistance", **AT_75)
    sheet.add("resistance", "S1-S2", "r_measured_ohm", 2.0, instrument_id="m1")

    found = sheet.found("resistance.limit")

    assert found.verdict == "refer"
    assert "31/01/2026" in found.text


def test_not_saying_how_the_winding_temperature_is_known_is_no_pass(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("resistance", leads="four_wire", t_winding_degc=75)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    assert sheet.found("resistance.limit").verdict == "refer"


def test_a_word_that_does_not_tell_how_the_temperature_is_known_is_no_pass(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("resistance", leads="four_wire", t_winding_degc=75, t_winding_source="guess")
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    assert sheet.found("resistance.limit").verdict == "refer"


@pytest.mark.parametrize("f_hz", [0.0, -50.0])
def test_a_job_of_no_rated_frequency_has_no_curve_judged(worksheet: Any, f_hz: float) -> None:
    sheet = curved(worksheet, "PX Ek 380 V Ie 30 mA Rct 2.5 ohm")
    sheet.frequency_hz = f_hz

    assert sheet.found("excitation.plate").verdict == "refer"


def test_a_metering_reading_at_no_current_is_referred(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("0.3 B-0.5", [make_tap("X1-X2", 600, 5)])
    sheet.key("ratio", ratio_method="instrument", burden_in_circuit_va=12.5, burden_power_factor_ratio=0.9)
    sheet.key("ratio", "X1-X2", i_percent_rated_percent=0, ratio_error_read_percent=0.0)

    assert sheet.found("ratio.rcf").verdict == "refer"


def test_a_reading_over_and_under_range_at_once_is_referred(worksheet: Any) -> None:
    sheet = insulated(worksheet, "1e9", over_range=True, under_range=True)

    assert sheet.found("insulation.secondary").verdict == "refer"
