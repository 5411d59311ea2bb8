"""Smoothing with stated scatter."""

from __future__ import annotations

import numpy as np
import pytest

from ctcore.curve import Curve
from ctcore.curve.readings import accept
from ctcore.curve.smoothing import smooth

VOLTS = np.linspace(80.0, 480.0, 15)


def two_powers(voltage: np.ndarray) -> np.ndarray:
    ratio = voltage / 400.0
    return 0.02 * ratio**0.6 + 0.004 * ratio**18


def noisy(count: int, seed: int, *, scatter_factor: float = 1.0) -> Curve:
    rng = np.random.default_rng(seed)
    volts = np.linspace(80.0, 480.0, count)
    voltage = np.sort(volts * (1.0 + 0.002 * scatter_factor * rng.standard_normal(count)))
    current = two_powers(volts) * (1.0 + 0.005 * scatter_factor * rng.standard_normal(count))
    return Curve(voltage, current, u_voltage_rel=0.002, u_current_rel=0.005)


def u_iec(curve: Curve) -> float:
    u_voltage_v = curve.knee("iec").u_voltage_v
    assert u_voltage_v is not None
    return u_voltage_v


def test_smoothed_current_always_rises_with_voltage() -> None:
    curve = noisy(60, 3)
    assert np.all(np.diff(curve.current_a(np.linspace(90.0, 470.0, 500))) > 0.0)


def test_clean_readings_with_stated_scatter_give_the_knee_within_a_fifth_of_a_percent() -> None:
    curve = Curve(VOLTS, two_powers(VOLTS), u_voltage_rel=0.002, u_current_rel=0.005)
    assert curve.knee("iec").voltage_v == pytest.approx(386.2177, rel=0.002)


def test_a_tenth_of_the_stated_scatter_makes_the_uncertainty_smaller() -> None:
    coarse = Curve(VOLTS, two_powers(VOLTS), u_voltage_rel=0.002, u_current_rel=0.005)
    fine = Curve(VOLTS, two_powers(VOLTS), u_voltage_rel=0.0002, u_current_rel=0.0005)
    assert u_iec(fine) < 0.6 * u_iec(coarse)


def test_scatter_far_above_the_stated_one_widens_the_uncertainty() -> None:
    assert u_iec(noisy(60, 3, scatter_factor=5.0)) > 2.0 * u_iec(noisy(60, 3))


def test_more_readings_make_the_uncertainty_smaller() -> None:
    assert u_iec(noisy(60, 3)) < u_iec(noisy(15, 3))


def test_a_curve_of_two_thousand_readings_is_smoothed_to_the_true_knee() -> None:
    curve = noisy(2000, 5)
    assert curve.knee("iec").voltage_v == pytest.approx(386.2177, rel=0.001)


def test_a_straight_line_with_few_readings_stays_straight() -> None:
    readings = accept([10.0, 20.0, 40.0], [0.01, 0.02, 0.04], u_voltage_rel=0.002)
    fit = smooth(readings, u_voltage_rel=0.002, u_current_rel=0.005)
    assert fit.curve.slope_node == pytest.approx(1.0, abs=0.15)


def test_a_common_factor_on_all_voltages_moves_the_knee_by_just_that_factor() -> None:
    plain = Curve(VOLTS, two_powers(VOLTS), u_voltage_rel=0.002, u_current_rel=0.005).knee("iec")
    scaled = Curve(VOLTS * 1.01, two_powers(VOLTS), u_voltage_rel=0.002, u_current_rel=0.005).knee("iec")
    assert scaled.voltage_v == pytest.approx(1.01 * plain.voltage_v, rel=1e-9)


def test_a_common_factor_on_all_currents_moves_no_knee() -> None:
    plain = Curve(VOLTS, two_powers(VOLTS), u_voltage_rel=0.002, u_current_rel=0.005).knee("tangent45")
    scaled = Curve(VOLTS, 3.0 * two_powers(VOLTS), u_voltage_rel=0.002, u_current_rel=0.005).knee("tangent45")
    assert scaled.voltage_v == pytest.approx(plain.voltage_v, rel=1e-9)


def test_the_common_uncertainty_of_the_voltmeter_is_added_in_squares() -> None:
    stated = {"u_voltage_rel": 0.002, "u_current_rel": 0.005}
    plain = Curve(VOLTS, two_powers(VOLTS), **stated).knee("iec")
    common = Curve(VOLTS, two_powers(VOLTS), **stated, u_voltage_scale_rel=0.003).knee("iec")
    assert plain.u_voltage_v is not None
    expected = np.hypot(plain.u_voltage_v, 0.003 * plain.voltage_v)
    assert common.u_voltage_v == pytest.approx(expected, rel=1e-9)


def test_readings_that_contradict_one_another_still_give_numbers() -> None:
    current = two_powers(VOLTS)
    current[6] *= 10.0
    curve = Curve(VOLTS, current, u_voltage_rel=0.0002, u_current_rel=0.0005)
    assert np.all(np.isfinite(curve.current_a(VOLTS)))
