"""The front door of the excitation curve."""

from __future__ import annotations

import numpy as np
import pytest

from ctcore.curve import Curve, NoKnee
from ctcore.errors import BadInput

VOLTS = np.linspace(40.0, 480.0, 15)


def two_powers(voltage: np.ndarray) -> np.ndarray:
    ratio = voltage / 400.0
    return 0.02 * ratio**0.6 + 0.004 * ratio**18


def test_curve_without_stated_uncertainty_goes_through_every_reading() -> None:
    curve = Curve(VOLTS, two_powers(VOLTS))
    np.testing.assert_allclose(curve.current_a(VOLTS), two_powers(VOLTS), rtol=1e-12)


def test_knee_without_stated_uncertainty_carries_none() -> None:
    assert Curve(VOLTS, two_powers(VOLTS)).knee("iec").u_voltage_v is None


def test_knee_with_one_uncertainty_missing_carries_none() -> None:
    assert Curve(VOLTS, two_powers(VOLTS), u_voltage_rel=0.002).knee("iec").u_voltage_v is None


def test_current_and_voltage_are_inverse_of_one_another() -> None:
    curve = Curve(VOLTS, two_powers(VOLTS), u_voltage_rel=0.002, u_current_rel=0.005)
    asked = np.linspace(50.0, 470.0, 30)
    np.testing.assert_allclose(curve.voltage_v(curve.current_a(asked)), asked, rtol=1e-10)


def test_current_beyond_the_last_reading_is_refused() -> None:
    with pytest.raises(BadInput, match="nothing is extrapolated"):
        Curve(VOLTS, two_powers(VOLTS)).current_a(481.0)


def test_voltage_at_a_current_above_the_curve_is_refused() -> None:
    with pytest.raises(BadInput, match="nothing is extrapolated"):
        Curve(VOLTS, two_powers(VOLTS)).voltage_v(9.0)


def test_knee_is_a_point_of_the_curve() -> None:
    curve = Curve(VOLTS, two_powers(VOLTS), u_voltage_rel=0.002, u_current_rel=0.005)
    knee = curve.knee("tangent45")
    assert curve.current_a(knee.voltage_v) == pytest.approx(knee.current_a, rel=1e-12)


def test_unknown_definition_is_refused() -> None:
    with pytest.raises(BadInput, match="knee definition"):
        Curve(VOLTS, two_powers(VOLTS)).knee("60")


def test_knee_above_the_readings_is_not_reached() -> None:
    with pytest.raises(NoKnee, match="not reached"):
        Curve(VOLTS[:9], two_powers(VOLTS[:9])).knee("iec")


def test_a_current_that_falls_has_no_voltage_read_from_it() -> None:
    curve = Curve([10.0, 20.0, 30.0, 40.0], [0.01, 0.03, 0.02, 0.05])
    with pytest.raises(BadInput, match="does not rise"):
        curve.voltage_v(0.025)


def test_a_current_that_falls_is_still_read_at_a_voltage() -> None:
    curve = Curve([10.0, 20.0, 30.0, 40.0], [0.01, 0.03, 0.02, 0.05])
    assert curve.current_a(30.0) == pytest.approx(0.02)


def test_both_ends_of_the_curve_can_be_read() -> None:
    curve = Curve(VOLTS, two_powers(VOLTS), u_voltage_rel=0.002, u_current_rel=0.005)
    ends = np.array([curve.voltage_first_v, curve.voltage_last_v])
    np.testing.assert_allclose(curve.voltage_v(curve.current_a(ends)), ends, rtol=1e-9)


@pytest.mark.parametrize("asked", [0.0, -1.0, float("nan"), float("inf"), "200", None, [[200.0]]])
def test_what_is_no_voltage_is_refused(asked: float) -> None:
    with pytest.raises(BadInput, match="voltage"):
        Curve(VOLTS, two_powers(VOLTS)).current_a(asked)
