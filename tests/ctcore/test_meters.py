"""What unlike meters read on a distorted wave."""

from __future__ import annotations

import pytest

from ctcore import meters
from ctcore.errors import BadInput


def test_all_meters_agree_on_a_pure_sine() -> None:
    result = meters.readings([])
    assert (result.mean_scaled_ratio, result.true_rms_ratio) == pytest.approx((1.0, 1.0), abs=1e-6)
    assert result.peak_scaled_ratio == pytest.approx(1.0, abs=1e-6)


def test_a_third_harmonic_in_opposition_lowers_the_mean_reading() -> None:
    """The mean reads 3.3 % low, the true r.m.s. 0.5 % high (arithmetic)."""
    result = meters.readings([meters.Harmonic(3, 0.1, 180.0)])
    assert result.mean_scaled_ratio == pytest.approx(1.0 - 0.1 / 3.0, abs=1e-6)
    assert result.true_rms_ratio == pytest.approx(1.004988, abs=1e-6)


def test_flux_follows_voltage_over_frequency() -> None:
    assert meters.voltage_at_rated_frequency_v(60.0, 60.0, 50.0) == pytest.approx(50.0)


@pytest.mark.parametrize(
    "harmonics",
    [
        [meters.Harmonic(1, 0.1)],
        [meters.Harmonic(3, 0.1), meters.Harmonic(3, 0.1)],
        [meters.Harmonic(3, -0.1)],
        [meters.Harmonic(3, 0.1, float("nan"))],
    ],
    ids=["order one", "order twice", "negative share", "phase unknown"],
)
def test_impossible_harmonics_are_refused(harmonics: list[meters.Harmonic]) -> None:
    with pytest.raises(BadInput, match="harmonic"):
        meters.readings(harmonics)


def test_a_frequency_of_zero_is_refused() -> None:
    with pytest.raises(BadInput, match="frequency of the test"):
        meters.voltage_at_rated_frequency_v(60.0, 0.0, 50.0)
