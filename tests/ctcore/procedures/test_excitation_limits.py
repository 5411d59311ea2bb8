"""Classes with a limit factor, a security factor, or no limit on the curve."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.job import Instrument
from tests.ctcore.procedures.keyed_curve import AS_ASKED, FOUR_WIRE, VOLTS, amperes, taken


def test_5p20_by_the_indirect_composite_error(worksheet: Any) -> None:
    """E_ALF = 20 |2 + 12 + 9j| = 332.9 V. Source: IEC 61869-2:2012, 7.2.6.203; quotient from memory."""
    found = taken(worksheet, "5P20 15 VA", low_leakage=True).found("excitation.composite")

    assert (found.verdict, found.limit) == ("within", 5.0)
    assert found.value == pytest.approx(100 * float(amperes(332.866)) / 20, rel=2e-3)


def test_5p20_whose_emf_lies_beyond_the_readings_is_not_tested(worksheet: Any) -> None:
    """E_ALF = 20 |9 + 12 + 9j| = 456.9 V; the readings end at 440 V."""
    found = taken(worksheet, "5P20 15 VA", ohm=9.0, volts=VOLTS[:-1]).found("excitation.composite")

    assert found.verdict == "not tested"
    assert "456.9" in found.text


def test_a_pass_without_low_leakage_is_referred(worksheet: Any) -> None:
    """Source: IEC 61869-2:2012, Annex 2C; that a pass is referred is from memory."""
    found = taken(worksheet, "5P20 15 VA").found("excitation.composite")

    assert found.verdict == "refer"
    assert "low-leakage" in found.text


def test_a_fail_without_low_leakage_is_outside_all_the_same(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([100, 200, 300, 320, 340], [0.1, 0.2, 0.6, 1.5, 4.0])

    assert sheet.found("excitation.composite").verdict == "outside"


def test_readings_that_end_early_but_over_the_error_are_outside(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA", low_leakage=True)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([100, 150, 200, 220], [0.1, 0.2, 0.6, 4.0])

    found = sheet.found("excitation.composite")

    assert found.verdict == "outside"
    assert "Already at" in found.text


def test_without_a_resistance_the_emf_is_not_known(worksheet: Any) -> None:
    found = taken(worksheet, "5P20 15 VA", ohm=None, low_leakage=True).found("excitation.composite")

    assert found.verdict == "not tested"
    assert "winding resistance is not tested yet" in found.text


def test_a_resistance_without_temperature_gives_no_emf(worksheet: Any) -> None:
    sheet = taken(worksheet, "5P20 15 VA", ohm=None, low_leakage=True)
    sheet.key("resistance", leads="four_wire")
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    found = sheet.found("excitation.composite")

    assert found.verdict == "not tested"
    assert "Winding temperature is not recorded" in found.text


def test_a_plate_without_output_has_no_emf(worksheet: Any) -> None:
    assert taken(worksheet, "5P20", low_leakage=True).found("excitation.composite").verdict == "refer"


def test_a_pass_that_the_drop_in_the_winding_would_turn_is_referred(worksheet: Any) -> None:
    """At E the error is under 5 %, with I Rct counted in full it is over: the angle would decide."""
    sheet = worksheet("5P20 15 VA", low_leakage=True)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=9.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([200, 400, 440, 460, 480, 500], [0.2, 0.5, 0.8, 1.0, 1.3, 1.8])

    found = sheet.found("excitation.composite")

    assert found.verdict == "refer"
    assert "counted in full" in found.text


def test_a_drop_beyond_the_last_reading_is_referred(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA", low_leakage=True)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=9.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([200, 400, 440, 457], [0.2, 0.4, 0.5, 0.6])

    found = sheet.found("excitation.composite")

    assert found.verdict == "refer"
    assert "end too early" in found.text


def test_a_drop_over_2_percent_of_the_volts_is_told(worksheet: Any) -> None:
    """Source: IEC 61869-2:2012, Annex 2B.2.1."""
    sheet = worksheet("PX Ek 40 V Ie 600 mA Rct 9 ohm")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=9.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([10, 20, 30, 40, 45], [0.01, 0.02, 0.05, 0.1, 0.2])

    assert "drops up to 4.0 %" in sheet.found("excitation.step").text


def test_fs_wants_the_current_below_the_limiting_emf(worksheet: Any) -> None:
    """E_FS = 5 |Rct + Zb|. Source: IEC 61869-2:2012, 7.2.6.202; the 10 % of FS Isr is from memory."""
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([20, 30, 40, 50, 56, 60], [0.01, 0.02, 0.04, 0.2, 0.5, 1.2])

    found = sheet.found("excitation.security")

    assert (found.verdict, found.value) == ("within", pytest.approx(56.0, rel=1e-6))
    assert found.limit == pytest.approx(5 * abs(2 + 8 + 6j), rel=1e-9)


def test_fs_core_that_is_still_stiff_at_its_emf_is_outside(worksheet: Any) -> None:
    assert taken(worksheet, "0.5 FS5 10 VA").found("excitation.security").verdict == "outside"


def test_fs_stopped_short_is_not_tested(worksheet: Any) -> None:
    found = taken(worksheet, "0.5 FS5 10 VA", volts=[10, 20, 30, 40]).found("excitation.security")

    assert found.verdict == "not tested"
    assert "58.31" in found.text


def test_fs_reached_at_the_first_reading_is_within(worksheet: Any) -> None:
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([40, 50, 60], [0.6, 0.9, 1.2])

    assert sheet.found("excitation.security").verdict == "within"


def test_fs_on_a_curve_whose_current_falls_is_referred(worksheet: Any) -> None:
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([20, 30, 40, 50, 60], [0.1, 0.3, 0.2, 0.4, 0.9])

    assert sheet.found("excitation.security").verdict == "refer"


def test_fs_without_a_resistance_is_not_tested(worksheet: Any) -> None:
    assert taken(worksheet, "0.5 FS5 10 VA", ohm=None).found("excitation.security").verdict == "not tested"


def test_the_uncertainty_of_fs_joins_curve_and_resistance(worksheet: Any) -> None:
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.instruments = (
        Instrument(instrument_id="m1", name_text="Meter 1", spec_reading_percent=0.2),
        Instrument(instrument_id="m2", name_text="Meter 2", spec_reading_percent=0.0, spec_floor=0.5,
                   spec_floor_unit="degC"),
    )  # fmt: skip
    sheet.key("resistance", leads="four_wire")
    sheet.add("resistance", "method", "t_winding_degc", "75.0", instrument_id="m2")
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.0000", instrument_id="m1")
    sheet.key("excitation", **AS_ASKED)
    sheet.points(
        [20, 30, 40, 46, 50, 54, 58, 62], [0.01, 0.02, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6], instrument_id="m1"
    )

    found = sheet.found("excitation.security")

    assert found.u_expanded is not None
    assert 0.1 < found.u_expanded < 1.0


def test_a_class_without_a_limit_on_the_curve_is_not_applicable(worksheet: Any) -> None:
    assert taken(worksheet, "0.5 10 VA").found("excitation.no_limit").verdict == "not applicable"


def test_a_tp_class_wants_peak_readings(worksheet: Any) -> None:
    found = taken(worksheet, "TPY Kssc 20 Ktd 12 Ts 0.5 s Rb 10 ohm").found("excitation.peak")

    assert (found.verdict, found.limit_standing) == ("refer", "from memory")
