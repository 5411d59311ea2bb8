"""Reference curves, tables, peaks and sisters that only seem to carry a reading."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from ctcore.job import ReferenceCurve, ReferencePoint, References
from tests.ctcore.wrong_within.scene import AS_ASKED, AT_75, AT_BURDEN, RISING_V, amperes, cored, override


def referenced(worksheet: Any, make_tap: Any, points: list[tuple[float, float]]) -> Any:
    sheet = cored(worksheet, "C400", ohm=0.5, taps=[make_tap("X1-X5", 1200, 5, 240)])
    curve = ReferenceCurve(
        core_id="c1",
        tap_id="X1-X5",
        kind="certificate",
        source_text="certificate 7",
        frequency_hz=50.0,
        voltage_response="mean",
        points=tuple(ReferencePoint(voltage_v=v, current_a=i) for v, i in points),
    )
    if "current_response" in ReferenceCurve.__dataclass_fields__:
        curve = replace(curve, current_response="true_rms")
    sheet.references = References(curves=(curve,))
    return sheet


def test_readings_all_below_the_knee_of_the_reference_are_no_pass(worksheet: Any, make_tap: Any) -> None:
    """One reading of many lies in the range of the certificate, and none above its knee."""
    volts = [float(v) for v in RISING_V]
    sheet = referenced(worksheet, make_tap, list(zip(volts, amperes(volts), strict=True)))
    sheet.points([5, 10, 20, 40, 60], amperes([5, 10, 20, 40, 60]))

    assert sheet.found("excitation.envelope").verdict == "refer"


def test_a_reference_is_no_pass_for_a_curve_taken_otherwise(worksheet: Any, make_tap: Any) -> None:
    volts = [float(v) for v in RISING_V]
    sheet = referenced(worksheet, make_tap, list(zip(volts, amperes(volts), strict=True)))
    sheet.key("excitation", demagnetised="no")
    sheet.points(volts, amperes(volts))

    assert sheet.found("excitation.envelope").verdict == "refer"


def linear(worksheet: Any, class_text: str, volts: list[float], *, turns: float | None = 600.0) -> Any:
    """A straight curve of 0.1 mA per volt and a direct test beside it."""
    sheet = worksheet(class_text)
    own = sheet.cores[0]
    sheet.cores = [replace(own, taps=(replace(own.taps[0], turns_secondary_count=turns),))]
    sheet.key("resistance", **AT_75)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(volts, [1e-4 * v for v in volts])
    sheet.key("ratio", **AT_BURDEN)
    sheet.key("ratio", "S1-S2", i_percent_rated_percent=100, ratio_error_read_percent=-0.1)
    return sheet


def test_a_table_of_which_the_curve_reaches_a_part_is_not_within(worksheet: Any) -> None:
    """The readings start at 5 V; at 5 % and 20 % of rated current the e.m.f. is below that."""
    sheet = linear(worksheet, "0.5 10 VA", [5.0, 6.0, 7.5, 9.0, 11.0, 13.0, 16.0, 20.0])

    assert sheet.found("excitation.table_calculated").verdict != "within"


def test_a_table_that_rests_on_a_wide_gap_is_not_within(worksheet: Any) -> None:
    sheet = linear(worksheet, "0.5 10 VA", [0.1, 0.11, 0.12, 30.0])

    assert sheet.found("excitation.table_calculated").verdict != "within"


def test_a_table_that_the_readings_carry_is_within_beside_a_direct_test(worksheet: Any) -> None:
    volts = [0.1 * 1.2**step for step in range(34)]
    sheet = linear(worksheet, "0.5 10 VA", volts)

    assert sheet.found("excitation.table_calculated").verdict == "within"


def tpy(worksheet: Any, volts: list[float]) -> Any:
    """E_al = 5 x 4 (2 + 10) 1 A = 240 V; sqrt2 x 1 A x 5 x 10 % = 0.7071 A."""
    sheet = cored(worksheet, "TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm")
    sheet.key("excitation", further_readings="peak")
    sheet.points(volts, [v / 1000.0 for v in volts])
    for row, volt in enumerate(volts, start=1):
        sheet.key("excitation", str(row), i_excitation_peak_a=volt / 250.0)
    return sheet


def test_peaks_short_of_e_al_are_no_pass_by_a_wider_limit_of_the_office(worksheet: Any) -> None:
    sheet = tpy(worksheet, [100.0, 150.0, 180.0, 200.0])
    sheet.references = override("excitation.peak", None, 2.0)

    assert sheet.found("excitation.peak").verdict == "not tested"


def test_a_wide_gap_of_peaks_about_e_al_is_no_pass(worksheet: Any) -> None:
    sheet = tpy(worksheet, [50.0, 100.0, 150.0, 600.0])
    sheet.references = override("excitation.peak", None, 1.5)

    assert sheet.found("excitation.peak").verdict == "refer"


def sisters(worksheet: Any, change: dict[str, Any], path_s: float = 0.0) -> Any:
    """Three phases; the first as changed, with a path beside its winding of that conductance."""
    sheet = worksheet("0.5 10 VA", phases=3)
    sheet.key("excitation", core=0, **{**AS_ASKED, **change})
    sheet.key("excitation", core=1, **AS_ASKED)
    sheet.key("excitation", core=2, **AS_ASKED)
    beside = [path_s * v for v in RISING_V]
    sheet.points(RISING_V, [math.hypot(*both) for both in zip(amperes(RISING_V), beside, strict=True)])
    sheet.points(RISING_V, amperes(RISING_V), core=1)
    sheet.points(RISING_V, amperes(RISING_V), core=2)
    return sheet


@pytest.mark.parametrize(
    "change", [{"links": "closed"}, {"primary_state": "not_known"}, {"frequency_hz": ""}]
)
def test_a_curve_taken_otherwise_is_not_within_beside_its_sisters(
    worksheet: Any, change: dict[str, Any]
) -> None:
    assert sisters(worksheet, change).found("excitation.sisters").verdict == "refer"


def test_a_core_with_a_shorted_turn_is_not_within_beside_its_sisters(worksheet: Any) -> None:
    """Its current adds in quadrature, 50 uS here: a third more current at the knee."""
    assert sisters(worksheet, {}).found("excitation.sisters").verdict == "within"
    assert sisters(worksheet, {}, path_s=5e-5).found("excitation.sisters").verdict == "refer"
