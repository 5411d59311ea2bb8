"""Energy that direct current leaves in a core, from its excitation curve."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np

from ctcore.checks import positive_scalar
from ctcore.curve.curve import Curve

_PLACE_COUNT = 400


def stored_energy_j(curve: Curve, i_direct_a: float, frequency_hz: float) -> float | None:
    """Return the energy stored in the core of a winding that carries direct current.

    Formula: W = (2/w) integral of I dV from zero to the voltage where sqrt2 I is the direct current; half of
    L I^2 with the unsaturated inductance overstates it where the core saturates.

    Args: the excitation curve of the winding; direct current in A and frequency in Hz, above zero.
    Result: J; None where the direct current lies beyond the last reading, since nothing is extrapolated.
    Range: below the first reading the current is taken as proportional to the voltage; losses count as
    stored, so that the result is rather high.
    Errors: `BadInput` for values of zero or less.
    Source: arithmetic, from the integral of i d(psi) with peak values of a sine.

    >>> straight = Curve([10.0, 20.0, 40.0], [0.01, 0.02, 0.04])
    >>> half_l_i2 = 0.5 * (1000.0 / (2 * pi * 50.0)) * 0.02**2
    >>> round(stored_energy_j(straight, 0.02, 50.0) / half_l_i2, 6)
    1.0
    """
    wanted = positive_scalar("direct current", i_direct_a) / sqrt(2.0)
    omega = 2.0 * pi * positive_scalar("frequency", frequency_hz)
    first_v, last_v = curve.voltage_first_v, curve.voltage_last_v
    first_a, last_a = (float(curve.current_a(volts)) for volts in (first_v, last_v))
    if wanted > last_a:
        return None
    if wanted <= first_a:
        return wanted**2 * first_v / first_a / omega
    volts = np.linspace(first_v, float(curve.voltage_v(wanted)), _PLACE_COUNT)
    amperes = np.asarray(curve.current_a(volts))
    below = first_a * first_v / 2.0
    return 2.0 / omega * (below + float(np.trapezoid(amperes, volts)))
