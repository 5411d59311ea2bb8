"""What an insulation resistance does not prove, and an instrument of no stated error."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from ctcore.job import Instrument, References
from tests.ctcore.wrong_within.scene import insulated


def test_the_1_megohm_tradition_of_secondaries_passes_no_primary(worksheet: Any) -> None:
    """2 MOhm on the primary of 145 kV equipment. Guides: the tradition speaks of secondary circuits."""
    sheet = insulated(worksheet, "2e6", row="primary_earth", volts=5000)
    sheet.um_kv = 145.0

    assert sheet.found("insulation.primary").verdict == "refer"


def test_an_over_range_primary_does_not_pass_by_the_tradition_either(worksheet: Any) -> None:
    sheet = insulated(worksheet, "2e6", row="primary_earth", volts=5000, over_range=True)
    sheet.um_kv = 145.0

    assert sheet.found("insulation.primary").verdict == "refer"


def test_a_primary_below_the_tradition_is_outside_all_the_same(worksheet: Any) -> None:
    sheet = insulated(worksheet, "0.5e6", row="primary_earth", volts=5000)
    sheet.um_kv = 145.0

    assert sheet.found("insulation.primary").verdict == "outside"


def test_a_multimeter_of_nine_volts_proves_no_insulation(worksheet: Any) -> None:
    found = insulated(worksheet, "5e6", volts=9).found("insulation.secondary")

    assert found.verdict == "refer"
    assert "9.0" in found.text


def test_a_bound_is_referred_by_a_guarded_rule_without_uncertainty(worksheet: Any) -> None:
    sheet = insulated(worksheet, "1e9", over_range=True)
    sheet.references = References(decision_rule="guard_band")

    assert sheet.found("insulation.secondary").verdict == "refer"


def test_an_expired_thermometer_is_no_pass_of_the_insulation(worksheet: Any) -> None:
    sheet = insulated(worksheet, "1e9")
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Thermometer 1", due_on="2026-01-31"),)
    degc = next(entry for entry in sheet.readings if entry.quantity_id == "t_winding_degc")
    sheet.readings[sheet.readings.index(degc)] = replace(degc, instrument_id="m1")

    assert sheet.found("insulation.secondary").verdict == "refer"


def test_a_table_from_memory_says_so(worksheet: Any) -> None:
    sheet = insulated(worksheet, "1e9")
    sheet.references = References(
        insulation_correction="solid", insulation_limit_set="client", client_insulation_limit_ohm=1e6
    )

    assert "check against the standard" in sheet.found("insulation.secondary").text


def test_an_instrument_with_a_specification_of_zero_states_no_uncertainty(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.instruments = (
        Instrument(instrument_id="m1", name_text="Meter 1", spec_reading_percent=0.0, spec_floor=0.0),
    )
    sheet.key("resistance", leads="four_wire", t_winding_source="surface_probe")
    sheet.add("resistance", "method", "t_winding_degc", "75.0", instrument_id="m1")
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.000", instrument_id="m1")
    sheet.references = References(decision_rule="guard_band")

    assert sheet.found("resistance.limit").verdict == "refer"
