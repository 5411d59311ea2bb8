"""The curve through all readings."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline, PchipInterpolator

from ctcore.curve.hermite import _monotone_slopes, _spline_slopes, through
from ctcore.curve.readings import Readings

X = np.array([0.0, 0.4, 1.1, 1.3, 2.0, 2.2])
Y = np.array([0.0, 0.5, 0.9, 1.6, 1.5, 4.0])


def test_spline_slopes_agree_with_the_spline_of_scipy() -> None:
    np.testing.assert_allclose(_spline_slopes(X, Y), CubicSpline(X, Y)(X, 1), rtol=1e-12)


def test_spline_slopes_of_three_readings_are_those_of_the_parabola() -> None:
    np.testing.assert_allclose(_spline_slopes(X[:3], Y[:3]), CubicSpline(X[:3], Y[:3])(X[:3], 1), rtol=1e-12)


def test_monotone_slopes_agree_with_those_of_scipy() -> None:
    np.testing.assert_allclose(_monotone_slopes(X, Y), PchipInterpolator(X, Y)(X, 1), atol=1e-12)


def test_monotone_slopes_at_ends_that_turn_agree_with_those_of_scipy() -> None:
    y = np.array([1.0, 1.1, -3.0, -2.0, 0.0, -0.1])
    np.testing.assert_allclose(_monotone_slopes(X, y), PchipInterpolator(X, y)(X, 1), atol=1e-12)


def test_monotone_slopes_at_ends_that_would_overshoot_agree_with_those_of_scipy() -> None:
    y = np.array([1.0, 0.9, 2.9, -2.0, 0.0, 5.0])
    np.testing.assert_allclose(_monotone_slopes(X, y), PchipInterpolator(X, y)(X, 1), atol=1e-12)


def test_a_power_law_is_met_exactly() -> None:
    volts = (1.0, 2.0, 3.0, 5.0)
    curve = through(Readings(volts, tuple(v**3 for v in volts), (1, 1, 1, 1)))
    assert curve.ln_current(np.log([4.0]))[0] == pytest.approx(np.log(64.0), abs=1e-12)


@given(
    st.lists(st.floats(0.01, 1.0), min_size=3, max_size=20),
    st.lists(st.floats(0.001, 3.0), min_size=3, max_size=20),
)
def test_a_rising_curve_never_falls_between_its_readings(dx: list[float], dy: list[float]) -> None:
    size = min(len(dx), len(dy))
    x, y = np.cumsum(dx[:size]), np.cumsum(dy[:size])
    curve = through(Readings(tuple(np.exp(x)), tuple(np.exp(y)), (1,) * size))
    fine = curve.ln_current(np.linspace(curve.first, curve.last, 500))
    assert np.all(np.diff(fine) > -1e-12)
