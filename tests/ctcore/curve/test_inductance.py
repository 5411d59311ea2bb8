"""Inductance below and beyond saturation."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from ctcore.curve import Curve, inductance
from ctcore.errors import BadInput

VOLTS = np.linspace(40.0, 480.0, 60)
CURVE = Curve(VOLTS, 0.02 * (VOLTS / 400.0) ** 0.6 + 0.004 * (VOLTS / 400.0) ** 18)


def test_unsaturated_inductance_belongs_to_the_45_degree_knee() -> None:
    result = inductance(CURVE, 50.0)
    assert result.unsaturated_at_v == pytest.approx(353.7, rel=0.01)
    assert result.unsaturated_h == pytest.approx(353.7082 / 0.01901435 / (100.0 * pi), rel=1e-3)


def test_saturated_inductance_is_the_slope_at_the_last_reading() -> None:
    slope_a_per_v = 0.02 * 0.6 / 400.0 * 1.2**-0.4 + 0.004 * 18 / 400.0 * 1.2**17
    assert inductance(CURVE, 50.0).saturated_h == pytest.approx(1.0 / slope_a_per_v / (100.0 * pi), rel=0.01)


def test_a_curve_that_stops_below_the_knee_has_no_saturated_inductance() -> None:
    assert inductance(Curve([10.0, 20.0, 40.0], [0.01, 0.02, 0.04]), 50.0).saturated_h is None


@pytest.mark.parametrize("frequency_hz", [0.0, -50.0, float("nan"), float("inf")])
def test_a_frequency_that_is_none_is_refused(frequency_hz: float) -> None:
    with pytest.raises(BadInput, match="frequency"):
        inductance(CURVE, frequency_hz)


def test_a_current_that_levels_off_at_the_end_leaves_the_saturated_inductance_open() -> None:
    x = np.cumsum([0.0, 0.05, 0.05, 0.05, 0.05, 0.05, 0.4])
    y = np.cumsum([0.0, 0.01, 0.01, 0.01, 2.0, 1.0, 0.01])
    curve = Curve(100.0 * np.exp(x), 0.001 * np.exp(y))
    assert curve.knee("iec").voltage_v < curve.voltage_last_v
    assert inductance(curve, 50.0).saturated_h is None
