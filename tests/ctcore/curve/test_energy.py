"""Energy in a core that carries direct current."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from ctcore.curve import Curve, inductance, stored_energy_j
from ctcore.errors import BadInput

OMEGA = 2.0 * pi * 50.0


def saturating() -> Curve:
    volts = np.geomspace(2.0, 480.0, 60)
    return Curve(volts, 0.02 * (0.98 * (volts / 400.0) + 0.02 * (volts / 400.0) ** 25))


def test_a_law_of_powers_integrates_in_closed_form() -> None:
    """I = a V + b V^25: W = (2/w)(a V^2/2 + b V^26/26); arithmetic."""
    volts = 430.0
    a, b = 0.02 * 0.98 / 400.0, 0.02 * 0.02 / 400.0**25
    current = a * volts + b * volts**25

    assert stored_energy_j(saturating(), np.sqrt(2.0) * current, 50.0) == pytest.approx(
        2.0 / OMEGA * (a * volts**2 / 2.0 + b * volts**26 / 26.0), rel=2e-3
    )


def test_half_l_i_squared_overstates_it_past_the_knee() -> None:
    curve = saturating()
    direct = np.sqrt(2.0) * float(curve.current_a(475.0))
    found = stored_energy_j(curve, direct, 50.0)

    assert found is not None
    assert 0.5 * inductance(curve, 50.0).unsaturated_h * direct**2 > 1.5 * found


def test_beyond_the_readings_nothing_is_extrapolated() -> None:
    curve = saturating()

    assert stored_energy_j(curve, 10.0, 50.0) is None
    assert stored_energy_j(curve, 1e-6, 50.0) == pytest.approx(1e-12 / 2.0 * 400.0 / 0.0196 / OMEGA, rel=1e-3)


@pytest.mark.parametrize(("direct", "hertz"), [(0.0, 50.0), (0.1, 0.0)])
def test_impossible_values_are_refused(direct: float, hertz: float) -> None:
    with pytest.raises(BadInput):
        stored_energy_j(saturating(), direct, hertz)
