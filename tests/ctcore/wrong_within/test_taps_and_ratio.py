"""What a tap or its ratio could be taken for."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.findings import Finding
from ctcore.job import Instrument
from tests.ctcore.wrong_within.scene import AS_ASKED, AT_75, AT_BURDEN, RISING_V, amperes


def test_a_tapped_section_is_no_low_leakage_core_by_the_word_of_its_whole_winding(
    worksheet: Any, make_tap: Any
) -> None:
    """A section seldom is wound evenly over the ring. Source: IEC 61869-2:2012, Annex 2C."""
    taps = [make_tap("S1-S3", 1200, 1, 1200), make_tap("S1-S2", 600, 1, 600)]
    sheet = worksheet("5P20 15 VA", taps, low_leakage=True, class_on_every_tap=True)
    sheet.key("resistance", **AT_75)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(RISING_V, amperes(RISING_V))

    found = sheet.found("excitation.composite")

    assert found.verdict == "refer"
    assert "section" in found.text


def test_a_c_class_that_the_plate_gives_to_every_tap_is_not_lowered_with_the_turns(
    worksheet: Any, make_tap: Any
) -> None:
    """C400 on every tap asks for 400 V at the burden on X1-X3 too; 200 V of half the turns is not enough."""
    taps = [make_tap("X1-X5", 1200, 5, 240), make_tap("X1-X3", 600, 5, 120)]
    sheet = worksheet("C400", taps, class_on_every_tap=True)
    sheet.key("resistance", **AT_75)
    sheet.key("resistance", "X1-X3", r_measured_ohm=0.25)
    sheet.key("excitation", **{**AS_ASKED, "tap_id": "X1-X3"})
    sheet.points([50, 100, 150, 200, 220, 240, 260], [0.02, 0.03, 0.05, 0.2, 0.6, 3.0, 14.0])

    assert sheet.found("excitation.relay").verdict == "outside"


def test_an_exciting_current_of_zero_is_no_drop_of_zero(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("resistance", **AT_75)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "S1-S2", v_secondary_v=60.0, v_primary_v=0.1, i_excitation_a=0)

    assert sheet.found("ratio.turns").verdict == "refer"


def test_a_ratio_that_two_pairs_share_says_that_it_does_not_tell_which(worksheet: Any, make_tap: Any) -> None:
    """2000:5: 160 turns are X2-X3 and X3-X5. Source: IEEE C57.13-2016, Table 8."""
    taps = [
        make_tap("X1-X5", 2000, 5, 400),
        make_tap("X1-X2", 400, 5, 80),
        make_tap("X1-X3", 1200, 5, 240),
        make_tap("X2-X3", 800, 5, 160),
        make_tap("X3-X5", 800, 5, 160),
    ]
    sheet = worksheet("C400", taps)
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "X2-X3", v_secondary_v=160.0, v_primary_v=1.0, polarity_read="agrees")

    found = sheet.found("ratio.tap", "X2-X3")

    assert "that of X3-X5 as well" in found.text


def test_an_expired_meter_does_not_tell_the_tap(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Meter 1", due_on="2026-01-31"),)
    sheet.key("ratio", ratio_method="voltage")
    sheet.add("ratio", "S1-S2", "v_secondary_v", 60.0, instrument_id="m1")
    sheet.add("ratio", "S1-S2", "v_primary_v", 0.1, instrument_id="m1")

    assert sheet.found("ratio.tap").verdict == "refer"


def test_a_tcf_within_rests_on_memory_and_says_so(worksheet: Any, make_tap: Any) -> None:
    """The limits were seen, the slope of 2600 minutes is from memory."""
    sheet = worksheet("0.3 B-0.5", [make_tap("X1-X2", 600, 5)])
    sheet.key("ratio", ratio_method="instrument", burden_in_circuit_va=12.5, burden_power_factor_ratio=0.9)
    sheet.key(
        "ratio",
        "X1-X2",
        i_percent_rated_percent=100,
        ratio_error_read_percent=0.0,
        phase_displacement_arcmin=1.0,
        polarity_read="agrees",
    )

    found = sheet.found("ratio.tcf")

    assert (found.verdict, found.limit_standing) == ("within", "from memory")
    assert "check against the standard" in found.text


def on_limit(worksheet: Any, primary: float, secondary: float) -> Finding:
    sheet = worksheet("0.5 10 VA")
    sheet.key("ratio", **{**AT_BURDEN, "ratio_method": "current"})
    sheet.key("ratio", "S1-S2", i_primary_a=primary, i_secondary_a=secondary, phase_displacement_arcmin=0)
    finding: Finding = sheet.found("ratio.error")
    return finding


@pytest.mark.parametrize(
    ("primary", "secondary"), [(600.0, 0.995), (600.0, 1.005), (604.8, 1.00296), (596.4, 0.98903)]
)
def test_on_the_limit_by_the_digits_typed_is_within(worksheet: Any, primary: float, secondary: float) -> None:
    """-0.5 % and +0.5 % in decimal digits."""
    assert on_limit(worksheet, primary, secondary).verdict == "within"


def test_just_over_the_limit_by_the_digits_typed_is_outside(worksheet: Any) -> None:
    assert on_limit(worksheet, 600.0, 0.99499).verdict == "outside"
