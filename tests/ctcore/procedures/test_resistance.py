"""Winding resistance from keyed readings to findings."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.job import Instrument, LimitOverride, References, ReferenceValue

FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 20, "t_winding_source": "surface_probe"}
PX = "PX Ek 200 V Ie 30 mA Rct 2.5 ohm"


def test_it_is_carried_to_75_degrees_by_the_copper_constant(worksheet: Any) -> None:
    """0.5 ohm at 20 degC is 0.608055 ohm at 75 degC. Source: constant 234.5 of IEC 60228."""
    sheet = worksheet()
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=0.5)

    found = sheet.derived("resistance", "r_winding_75degc_ohm", "S1-S2")

    assert found.value == pytest.approx(0.608055, abs=5e-7)


def test_leads_of_a_two_wire_reading_are_subtracted(worksheet: Any) -> None:
    """2 x 5 m of 2.5 mm2 is 0.074 ohm. Source: 7.41 ohm/km, IEC 60228 class 2, by arithmetic."""
    sheet = worksheet()
    sheet.key("resistance", **{**FOUR_WIRE, "leads": "two_wire", "r_lead_ohm": 0.074})
    sheet.key("resistance", "S1-S2", r_measured_ohm=0.574)

    found = sheet.derived("resistance", "r_winding_ohm", "S1-S2")

    assert found.value == pytest.approx(0.5, abs=1e-12)


def test_above_the_limit_of_the_plate_is_outside(worksheet: Any) -> None:
    """R at 75 degC against the stated upper limit. Source: IEC 61869-2:2012, 7.3.201."""
    sheet = worksheet(PX)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.1)

    found = sheet.found("resistance.limit")

    assert (found.verdict, found.limit, found.limit_standing) == ("outside", 2.5, "plate")
    assert found.margin == pytest.approx(-0.0538, abs=5e-5)


def test_on_the_limit_is_within(worksheet: Any) -> None:
    sheet = worksheet(r_winding_75degc_plate_ohm=2.5)
    sheet.key("resistance", **{**FOUR_WIRE, "t_winding_degc": 75})
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.5)

    assert sheet.found("resistance.limit").verdict == "within"


def test_without_a_temperature_it_is_referred_and_the_raw_value_said(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", leads="four_wire")
    sheet.key("resistance", "S1-S2", r_measured_ohm=0.1)

    found = sheet.found("resistance.reading")

    assert found.verdict == "refer"
    assert "Winding temperature is not recorded" in found.text
    assert "0.1000" in found.text


def test_a_two_wire_reading_without_its_leads_is_referred(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", **{**FOUR_WIRE, "leads": "two_wire"})
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    assert sheet.found("resistance.reading").verdict == "refer"


def test_not_knowing_the_lead_arrangement_is_referred(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", t_winding_degc=20)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    assert sheet.found("resistance.reading").verdict == "refer"


@pytest.mark.parametrize("ohm", ["-0.5", "0", "0.000"])
def test_a_resistance_of_zero_or_less_is_not_tested(worksheet: Any, ohm: str) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=ohm)

    found = sheet.found("resistance.reading")

    assert (found.verdict, found.value) == ("not tested", None)
    assert found.text


def test_leads_that_leave_nothing_are_told(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", **{**FOUR_WIRE, "leads": "two_wire", "r_lead_ohm": 0.8})
    sheet.key("resistance", "S1-S2", r_measured_ohm=0.5)

    found = sheet.found("resistance.reading")

    assert found.verdict == "not tested"
    assert "leave nothing" in found.text


def test_a_lead_over_range_is_no_value_to_subtract(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", **{**FOUR_WIRE, "leads": "two_wire"})
    sheet.add("resistance", "method", "r_lead_ohm", "1", over_range=True, as_typed_text=">1")
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    found = sheet.found("resistance.reading")

    assert found.verdict == "refer"
    assert "is a bound" in found.text


def test_text_that_is_no_number_is_quoted(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.o9", value_text=None)

    found = sheet.found("resistance.reading")

    assert found.verdict == "not tested"
    assert "“2.o9” is kept" in found.text


def test_two_standing_values_are_an_open_question(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm="1.9")
    sheet.key("resistance", "S1-S2", r_measured_ohm="2.9")

    found = sheet.found("resistance.reading")

    assert found.verdict == "refer"
    assert "stands twice" in found.text


def test_a_struck_reading_says_why(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", **FOUR_WIRE)
    first = sheet.add("resistance", "S1-S2", "r_measured_ohm", "1.9")
    sheet.add(
        "resistance", "S1-S2", "r_measured_ohm", "", value_text=None, struck=True,
        supersedes_id=first.reading_id, reason_text="clip had slipped",
    )  # fmt: skip

    found = sheet.found("resistance.reading")

    assert found.verdict == "not tested"
    assert "struck out: clip had slipped." in found.text


def test_an_unknown_conductor_is_referred(worksheet: Any) -> None:
    sheet = worksheet(PX, conductor="silver")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    found = sheet.found("resistance.reading")

    assert found.verdict == "refer"
    assert "conductor" in found.text


def test_a_phase_beyond_five_percent_of_its_sisters_is_referred(worksheet: Any) -> None:
    """5 % between sister phases: common practice, no source."""
    sheet = worksheet("5P20 15 VA", phases=3)
    for core, ohm in enumerate((2.2, 2.0, 2.01)):
        sheet.key("resistance", core=core, **FOUR_WIRE)
        sheet.key("resistance", "S1-S2", core=core, r_measured_ohm=ohm)

    found = sheet.found("resistance.sisters")

    assert (found.verdict, found.limit_standing) == ("refer", "common practice, no source")
    assert found.value == pytest.approx(100 * (2.2 / 2.01 - 1), abs=1e-9)


def test_the_alike_phases_beside_it_stay_within(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA", phases=3)
    for core, ohm in enumerate((2.2, 2.0, 2.01)):
        sheet.key("resistance", core=core, **FOUR_WIRE)
        sheet.key("resistance", "S1-S2", core=core, r_measured_ohm=ohm)

    assert [sheet.found("resistance.sisters", core=core).verdict for core in (1, 2)] == ["within", "within"]


def test_with_one_sister_the_other_is_the_reference(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA", phases=2)
    for core, ohm in enumerate((2.12, 2.0)):
        sheet.key("resistance", core=core, **FOUR_WIRE)
        sheet.key("resistance", "S1-S2", core=core, r_measured_ohm=ohm)

    assert sheet.derived("resistance", "r_spread_percent", "S1-S2").value == pytest.approx(6.0, abs=1e-9)


def test_a_certificate_value_is_compared_within_five_percent(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.references = References(
        values=(
            ReferenceValue(
                core_id="c1", row="S1-S2", quantity_id="r_winding_75degc_ohm", kind="certificate",
                value=2.0, source_text="routine test 118",
            ),
        )
    )  # fmt: skip
    sheet.key("resistance", **{**FOUR_WIRE, "t_winding_degc": 75})
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.2)

    found = sheet.found("resistance.certificate")

    assert found.verdict == "refer"
    assert "routine test 118" in found.source


def test_with_nothing_to_compare_it_is_referred(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    assert sheet.found("resistance.alone").verdict == "refer"


def test_leads_left_in_show_as_a_constant_over_the_taps(worksheet: Any, make_tap: Any) -> None:
    """R against turns has no intercept. Source: arithmetic; 10 % is common practice, no source."""
    sheet = worksheet("C400", [make_tap("X1-X2", 200, 5, 40), make_tap("X1-X5", 1200, 5, 240)])
    sheet.key("resistance", **{**FOUR_WIRE, "t_winding_degc": 75})
    sheet.key("resistance", "X1-X2", r_measured_ohm=0.1 + 0.074)
    sheet.key("resistance", "X1-X5", r_measured_ohm=0.6 + 0.074)

    found = sheet.found("resistance.turns")

    assert found.verdict == "refer"
    assert "0.07400" in found.text


def test_a_tap_in_service_without_a_reading_is_not_tested(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("5P20 15 VA", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)], service_tap_id="S1-S2")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S3", r_measured_ohm=2.0)

    assert sheet.found("resistance.reading", "S1-S2").verdict == "not tested"


def test_a_reading_on_a_tap_that_the_plate_does_not_name_is_referred(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S9", r_measured_ohm=2.0)

    assert sheet.found("resistance.tap").verdict == "refer"


def test_the_office_can_set_a_limit_of_its_own_and_it_is_printed(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.references = References(
        limit_overrides=(
            LimitOverride(
                rule="resistance.limit", core_id="", limit_low=None, limit_high=3.0,
                reason_text="owner's letter of 2 May", person_text="A. Person",
            ),
        )
    )  # fmt: skip
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.1)

    found = sheet.found("resistance.limit")

    assert (found.verdict, found.limit, found.limit_standing) == ("within", 3.0, "office")
    assert "owner's letter of 2 May" in found.text


def test_an_expired_calibration_turns_within_into_refer(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Ohmmeter 1", due_on="2026-05-03"),)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "1.0", instrument_id="m1")

    found = sheet.found("resistance.limit")

    assert found.verdict == "refer"
    assert "Ohmmeter 1 had ended on 2026-05-03" in found.text


def test_a_calibration_that_ends_on_the_day_still_holds(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Ohmmeter 1", due_on="2026-05-04"),)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "1.0", instrument_id="m1")

    assert sheet.found("resistance.limit").verdict == "within"


def guarded(worksheet: Any, rule: Any, ohm: str) -> Any:
    """2.5 ohm limit at 75 degC; 2 % of reading: U is 2 x 2 %/sqrt3 of the reading, about 0.057 ohm."""
    sheet = worksheet(r_winding_75degc_plate_ohm=2.5)
    sheet.references = References(decision_rule=rule)
    sheet.instruments = (
        Instrument(instrument_id="m1", name_text="Ohmmeter 1", spec_reading_percent=2.0),
        Instrument(instrument_id="m2", name_text="Thermometer 1", spec_floor=0.001, spec_floor_unit="degC"),
    )
    sheet.key("resistance", leads="four_wire", t_winding_source="surface_probe")
    sheet.add("resistance", "method", "t_winding_degc", "75.000", instrument_id="m2")
    sheet.add("resistance", "S1-S2", "r_measured_ohm", ohm, instrument_id="m1")
    return sheet.found("resistance.limit")


def test_the_guard_band_refuses_what_lies_closer_than_its_uncertainty(worksheet: Any) -> None:
    """Guard band w = U. Source: ILAC-G8:09/2019, 4.2."""
    found = guarded(worksheet, "guard_band", "2.4700")

    assert found.verdict == "outside"
    assert found.u_expanded == pytest.approx(2 * 0.02 * 2.47 / 3**0.5, rel=1e-3)
    assert "guard band" in found.text


def test_the_four_way_rule_refers_what_lies_closer_than_its_uncertainty(worksheet: Any) -> None:
    found = guarded(worksheet, "four_way", "2.5300")

    assert found.verdict == "refer"
    assert "conditional fail" in found.text


def test_a_guarded_rule_without_uncertainty_is_referred(worksheet: Any) -> None:
    sheet = worksheet(PX)
    sheet.references = References(decision_rule="guard_band")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=1.0)

    found = sheet.found("resistance.limit")

    assert (found.verdict, found.probability_of_conformance) == ("refer", None)
    assert "not stated" in found.text


@pytest.mark.parametrize("ohm", ["1e300", "5e-324"])
def test_a_size_that_cannot_be_is_not_tested(worksheet: Any, ohm: str) -> None:
    sheet = worksheet(PX)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=ohm)

    found = sheet.found("resistance.reading")

    assert (found.verdict, found.value) == ("not tested", None)
    assert "beyond what is possible" in found.text
