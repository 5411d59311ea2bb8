"""Meter response and the envelope about a reference curve."""

from __future__ import annotations

import pytest

from ctcore import envelope, meters


def test_third_harmonic_in_phase_of_avg_01_raises_the_mean_reading() -> None:
    """AVG-01: Arithmetic; mean-sensing meter by IEC 61869-2 7.2.6.202/203 (text seen): 1e-5, six printed
    digits.
    """
    result = meters.readings([meters.Harmonic(3, 0.1)])
    assert result.mean_scaled_ratio == pytest.approx(1.033333, abs=1e-5)
    assert result.true_rms_ratio == pytest.approx(1.004988, abs=1e-5)


@pytest.mark.parametrize(
    ("i_measured_a", "i_reference_a", "is_within"), [(0.06, 0.05, True), (0.13, 0.1, False)]
)
def test_current_below_the_knee_of_ieee_exc_01(
    i_measured_a: float, i_reference_a: float, is_within: bool
) -> None:
    """IEEE-EXC-01: C57.13, at most 125 % of the curve (from memory); the points as constructed."""
    assert envelope.current_within(i_measured_a, i_reference_a) is is_within


def test_voltage_above_the_knee_of_ieee_exc_01() -> None:
    """IEEE-EXC-01: C57.13, at least 95 % of the curve (from memory): 385 V against 400 V is within."""
    assert envelope.voltage_within(385.0, 400.0)
