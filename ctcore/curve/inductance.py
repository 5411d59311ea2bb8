"""Magnetising inductance below and beyond saturation, from the curve."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, pi

import numpy as np

from ctcore.checks import positive_scalar
from ctcore.curve.curve import Curve
from ctcore.errors import NoKnee

_PLACE_COUNT = 400


@dataclass(frozen=True, slots=True)
class Inductance:
    """Inductances in H and the voltages in V they belong to; saturated None where saturation is not reached.

    >>> Inductance(2.0, 100.0, None, None).saturated_h is None
    True
    """

    unsaturated_h: float
    unsaturated_at_v: float
    saturated_h: float | None
    saturated_at_v: float | None


def inductance(curve: Curve, frequency_hz: float) -> Inductance:
    """Return the unsaturated and the saturated inductance seen from the excited winding.

    Formula: unsaturated V / (2 pi f I) where V/I is greatest; saturated (dV/dI) / (2 pi f) at the last
    reading, given only when the IEC knee lies inside the readings and V/I still falls at their end.

    Range: r.m.s. values taken as if sinusoidal and without loss, so both are approximate; beyond the knee the
    current is no sine.
    Errors: `BadInput` for a frequency that is not above zero.
    Source: arithmetic.

    >>> round(inductance(Curve([10.0, 20.0, 40.0], [0.01, 0.02, 0.04]), 50.0).unsaturated_h, 3)
    3.183
    """
    found = unsaturated(curve, frequency_hz)
    last = np.array([curve.log_curve.last])
    end_slope = float(curve.log_curve.slope(last)[0])
    if end_slope <= 1.0 or not _has_knee(curve):
        return found
    ohm_last = exp(float((last - curve.log_curve.ln_current(last))[0]))
    saturated = ohm_last / end_slope / (2.0 * pi * frequency_hz)
    return Inductance(found.unsaturated_h, found.unsaturated_at_v, saturated, curve.voltage_last_v)


def unsaturated(curve: Curve, frequency_hz: float) -> Inductance:
    """Return the unsaturated inductance alone, which asks for no knee; else as `inductance`.

    Formula: V / (2 pi f I) where V/I is greatest.
    Range: as `inductance`.
    Errors: `BadInput` for a frequency that is not above zero.
    Source: arithmetic.

    >>> round(unsaturated(Curve([10.0, 20.0, 40.0], [0.01, 0.02, 0.04]), 50.0).unsaturated_h, 3)
    3.183
    """
    omega = 2.0 * pi * positive_scalar("frequency", frequency_hz)
    x = np.linspace(curve.log_curve.first, curve.log_curve.last, _PLACE_COUNT)
    ln_impedance = x - curve.log_curve.ln_current(x)
    greatest = int(np.argmax(ln_impedance))
    return Inductance(exp(float(ln_impedance[greatest])) / omega, exp(float(x[greatest])), None, None)


def _has_knee(curve: Curve) -> bool:
    try:
        curve.knee("iec")
    except NoKnee:
        return False
    return True
