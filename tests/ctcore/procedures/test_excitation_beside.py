"""Operating factors, e.m.f.s, inductance, peaks of TP classes and remanence."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tests.ctcore.procedures.keyed_beside import AS_ASKED, HIGH, _derived, amperes, core_of, linear, transient

# Factors at the connected burden, e.m.f.s, inductance


def test_the_factor_at_the_connected_burden_is_told_by_plate_and_by_curve(worksheet: Any) -> None:
    """20 |2 + 12 + 9j|/|2 + 5| = 47.55 by the plate; by the curve 400.9 V/7 ohm. Source: IEC 61869-2."""
    sheet = core_of(worksheet, "5P20 15 VA", burden_connected_va=5.0)
    sheet.key("excitation", **AS_ASKED)
    volts = np.append(HIGH, [460.0, 480.0, 520.0])
    sheet.points(volts, amperes(volts))

    plate = sheet.derived("excitation", "operating_factor_plate_ratio")
    curve = sheet.derived("excitation", "operating_factor_curve_ratio")

    assert plate.value == pytest.approx(47.55, abs=0.01)
    assert curve.value is None
    assert "before the error reaches 5 %" in curve.note


def test_the_curve_gives_the_factor_where_the_error_reaches_its_limit(worksheet: Any) -> None:
    """I = V/1000 for 1 A and 50 ohm: the error is 100 V/1000/(V/52) = 5.2 % from the first reading on."""
    sheet = core_of(worksheet, "5P20 15 VA", burden_connected_va=30.0)
    sheet.key("excitation", **AS_ASKED)
    volts = np.append(HIGH, [460.0, 480.0, 520.0, 560.0])
    sheet.points(volts, amperes(volts))

    factor = sheet.derived("excitation", "operating_factor_curve_ratio").value

    # 100 I(V)/(V/32) = 5 at V = 32 x factor.
    assert 100.0 * float(amperes(factor * 32.0)) / factor == pytest.approx(5.0, rel=0.02)


def test_the_measured_burden_goes_before_the_designed_one(worksheet: Any) -> None:
    """5 ohm at an angle of 0 measured: as the plate gives with 5 VA at 1 A."""
    sheet = core_of(worksheet, "5P20 15 VA", burden_connected_va=30.0)
    sheet.key("burden", "connected", v_burden_v=5, i_burden_a=1, phase_burden_deg=0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(HIGH, amperes(HIGH))

    found = sheet.derived("excitation", "operating_factor_plate_ratio")

    assert found.value == pytest.approx(47.55, abs=0.01)
    assert "as measured" in found.note


def test_without_a_connected_burden_there_is_no_operating_factor(worksheet: Any) -> None:
    sheet = core_of(worksheet, "5P20 15 VA")
    sheet.key("excitation", **AS_ASKED)
    sheet.points(HIGH, amperes(HIGH))

    assert "operating_factor_plate_ratio" not in {entry.quantity_id for entry in _derived(sheet)}


@pytest.mark.parametrize(
    "core",
    [
        {"burden_connected_va": -5.0},
        {"burden_connected_va": 5.0, "burden_connected_power_factor_ratio": 7.0},
    ],
)
def test_an_impossible_designed_burden_gives_no_factor(worksheet: Any, core: Any) -> None:
    sheet = core_of(worksheet, "5P20 15 VA", **core)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(HIGH, amperes(HIGH))

    assert "operating_factor_plate_ratio" not in {entry.quantity_id for entry in _derived(sheet)}


def test_a_security_factor_is_told_at_the_connected_burden_too(worksheet: Any) -> None:
    sheet = core_of(worksheet, "0.5 FS5 15 VA", burden_connected_va=5.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(HIGH, amperes(HIGH))

    assert "security factor" in sheet.derived("excitation", "operating_factor_plate_ratio").note


def test_both_forms_of_the_emf_of_a_relay_class_are_derived(worksheet: Any, make_tap: Any) -> None:
    """C400 on 5 A with 2 ohm: 100 |2 + 2 + 3.464j| = 529.2 V and 400 + 200 = 600 V. Source: IEEE C57.13."""
    sheet = core_of(worksheet, "C400", taps=[make_tap("S1-S2", 1200, 5, turns=240.0)])
    sheet.key("excitation", **AS_ASKED)
    sheet.points(HIGH, amperes(HIGH))

    assert sheet.derived("excitation", "emf_class_v").value == pytest.approx(529.15, abs=0.01)
    assert sheet.derived("excitation", "emf_class_arithmetic_v").value == pytest.approx(600.0)


def test_the_unsaturated_inductance_is_derived(worksheet: Any) -> None:
    """V/(2 pi 50 I) with V/I = 10 000 ohm is 31.83 H (arithmetic)."""
    found = linear(worksheet, "0.5 10 VA").derived("excitation", "l_unsaturated_h")

    assert found.value == pytest.approx(1e4 / (2 * math.pi * 50), rel=1e-6)


# TP classes and remanence


@pytest.mark.parametrize(("factor", "verdict"), [(40.0, "within"), (60.0, "outside")])
def test_tpy_limits_the_peak_at_e_al(worksheet: Any, factor: float, verdict: str) -> None:
    """E_al = 5 x 4 (2 + 10) 1 A = 240 V; sqrt2 x 1 A x 5 x 10 % = 0.7071 A; I(240 V) = 14.7 mA.

    Source: IEC 61869-2:2012, Annex 2B, from memory.
    """
    sheet = transient(worksheet, "TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm", factor)

    found = sheet.found("excitation.peak")

    assert (found.verdict, found.limit) == (verdict, pytest.approx(0.70711, abs=1e-5))
    assert sheet.derived("excitation", "emf_class_v").value == pytest.approx(240.0)


def test_tpz_permits_more_by_its_short_time_constant(worksheet: Any) -> None:
    """sqrt2 x 5 (3/(2 pi 50 x 0.06) + 10 %) = 1.8325 A. Source: IEC 61869-2:2012, Annex 2B, from memory."""
    found = transient(worksheet, "TPZ Kssc 5 Ktd 4 Ts 0.06 s Rb 10 ohm", 60.0).found("excitation.peak")

    assert (found.verdict, found.limit) == ("within", pytest.approx(1.8325, abs=1e-4))


@pytest.mark.parametrize(
    ("class_text", "verdict", "words"),
    [
        ("TPY Kssc 20 Ktd 12 Ts 0.5 s Rb 10 ohm", "not tested", "2,880"),
        ("TPY Kssc 1 Ktd 1 Ts 0.5 s Rb 10 ohm", "not tested", "start at"),
        ("TPY Ts 0.5 s Rb 10 ohm", "refer", "does not state Kssc"),
        ("TPZ Kssc 5 Ktd 4 Rb 10 ohm", "refer", "does not state Ts"),
        ("TPZ Kssc 5 Ktd 0.5 Ts 0.06 s Rb 10 ohm", "refer", "No limit"),
    ],
)
def test_a_peak_that_cannot_be_judged_says_why(
    worksheet: Any, class_text: str, verdict: str, words: str
) -> None:
    found = transient(worksheet, class_text, 1.0).found("excitation.peak")

    assert found.verdict == verdict
    assert words in found.text.replace("\u202f", ",")


def test_a_peak_over_the_limit_before_e_al_is_outside_all_the_same(worksheet: Any) -> None:
    found = transient(worksheet, "TPY Kssc 20 Ktd 12 Ts 0.5 s Rb 10 ohm", 200.0).found("excitation.peak")

    assert found.verdict == "outside"


def test_peaks_that_are_no_curve_are_referred(worksheet: Any) -> None:
    sheet = transient(worksheet, "TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm", 40.0)
    sheet.readings = [
        replace(entry, value_text="0")
        if entry.quantity_id == "i_excitation_peak_a" and int(entry.row) > 3
        else entry
        for entry in sheet.readings
    ]
    assert sheet.found("excitation.peak").verdict == "not tested"


@pytest.mark.parametrize(("percent", "verdict"), [(9.0, "within"), (12.0, "outside"), (None, "not tested")])
@pytest.mark.parametrize("class_text", ["5PR20 15 VA", "PXR Ek 300 V Ie 30 mA Rct 2.5 ohm"])
def test_remanence_is_at_most_10_percent(
    worksheet: Any, class_text: str, percent: float | None, verdict: str
) -> None:
    """PR and PXR: at most 10 %. Source: IEC 61869-2:2012, from memory."""
    sheet = core_of(worksheet, class_text)
    sheet.key("excitation", **AS_ASKED)
    readings = {} if percent is None else {"remanence_read_percent": percent}
    sheet.key("excitation", **readings)
    sheet.points(HIGH, amperes(HIGH))

    assert sheet.found("excitation.remanence").verdict == verdict
