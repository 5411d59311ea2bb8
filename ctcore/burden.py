"""Burdens: from a rating, from a measurement, at another current, and against the range of the class."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np

from ctcore.checks import (
    Complex,
    Real,
    impedance,
    not_negative,
    positive,
    positive_scalar,
    same_shape,
    scalar,
    scalar_impedance,
)
from ctcore.checks import power_factor as checked_power_factor
from ctcore.errors import BadInput


@dataclass(frozen=True, slots=True)
class MeasuredBurden:
    """A measured burden: impedance in complex ohm and VA at rated secondary current."""

    z_ohm: complex
    output_va: float


def from_rating(output_va: Real, i_secondary_rated_a: Real, power_factor: Real) -> Complex:
    """Return the impedance of a burden that is stated in VA.

    Formula: Z = S / I_sr^2 (pf + j sqrt(1 - pf^2)).
    Args: output in VA and rated secondary current in A, above zero; power factor above 0 to 1, lagging;
    scalar or array.
    Result: complex ohm, reactance zero or more.
    Valid at rated frequency.
    Raises BadInput for an output or current of zero or less, or a power factor outside 0 to 1.
    Source: IEC 61869-2:2012, 3.4.2 and 5.5 (burden and output at rated secondary current).

    >>> from_rating(25.0, 5.0, 1.0)
    (1+0j)
    """
    output = positive("rated output", output_va)
    current = positive("rated secondary current", i_secondary_rated_a)
    cosine = checked_power_factor("power factor of the burden", power_factor)
    same_shape("output, current and power factor", output, current, cosine)
    size = output / current**2
    # Written so that a power factor just below 1 gives no negative number under the root.
    sine = np.sqrt((1.0 - cosine) * (1.0 + cosine))
    result = size * (cosine + 1j * sine)
    return complex(result) if np.ndim(result) == 0 else result


def output_va(z_burden_ohm: Complex, i_secondary_rated_a: Real) -> Real:
    """Return the VA of an impedance at rated secondary current.

    Formula: S = I_sr^2 |Z|.
    Args: complex ohm with a resistance of zero or more; current in A above zero; scalar or array.
    Result: VA, zero or more.
    Valid at the frequency of the impedance.
    Raises BadInput for a negative resistance or a current of zero or less.
    Source: IEC 61869-2:2012, 5.5.

    >>> output_va(0.6 + 0.8j, 5.0)
    25.0
    """
    burden = impedance("burden", z_burden_ohm)
    current = positive("rated secondary current", i_secondary_rated_a)
    same_shape("burden and current", burden, current)
    result = current**2 * np.abs(burden)
    return float(result) if np.ndim(result) == 0 else result


def output_at_current_va(output_known_va: Real, i_known_a: Real, i_wanted_a: Real) -> Real:
    """Return the VA that a burden takes at another current.

    Formula: S2 = S1 (I2 / I1)^2.
    Args: output in VA at the known current, both currents in A, above zero; scalar or array.
    Result: VA.
    Valid for a burden whose impedance does not change with current.
    Raises BadInput for values of zero or less.
    Source: arithmetic.

    >>> output_at_current_va(2.0, 2.5, 5.0)
    8.0
    """
    output = positive("output", output_known_va)
    known = positive("current of the known output", i_known_a)
    wanted = positive("current wanted", i_wanted_a)
    same_shape("output and currents", output, known, wanted)
    return output * (wanted / known) ** 2


def output_with_leads_va(device_va: Real, r_leads_ohm: Real, i_secondary_rated_a: Real) -> Real:
    """Return the VA needed for a device and its leads.

    Formula: S = S_device + I_sr^2 R_leads.
    Args: VA of the device at rated current, zero or more; resistance of the whole lead loop in ohm, zero or
    more;
    rated secondary current in A.
    Result: VA; exact for a resistive device, otherwise slightly high.
    Valid at rated secondary current.
    Raises BadInput for negative values or a current of zero.
    Source: arithmetic.

    >>> output_with_leads_va(10.0, 2 * 0.1, 5.0)
    15.0
    """
    device = not_negative("output of the device", device_va)
    leads = not_negative("resistance of the leads", r_leads_ohm)
    current = positive("rated secondary current", i_secondary_rated_a)
    same_shape("device, leads and current", device, leads, current)
    return device + current**2 * leads


def from_measurement(
    voltage_v: float, current_a: float, angle_deg: float, *, i_secondary_rated_a: float
) -> MeasuredBurden:
    """Return impedance and VA from voltage, current and the angle between them.

    Formula: Z = V/I (cos(angle) + j sin(angle)); S = I_sr^2 |Z|.
    Args: V r.m.s. and A r.m.s., above zero; angle in degrees, positive when the voltage leads (inductive);
    rated secondary current in A.
    Result: `MeasuredBurden`.
    Valid for sinusoidal values; a relay with a saturating input has another burden at another current.
    Raises BadInput for values of zero or less, or an angle outside -90 to 90 degrees.
    Source: arithmetic.

    >>> from_measurement(5.0, 5.0, 0.0, i_secondary_rated_a=5.0)
    MeasuredBurden(z_ohm=(1+0j), output_va=25.0)
    """
    voltage = positive_scalar("voltage", voltage_v)
    current = positive_scalar("current", current_a)
    angle = scalar("angle", angle_deg)
    if not -90.0 <= angle <= 90.0:
        raise BadInput("angle", angle_deg, "a burden takes power: the angle lies between -90 and 90 degrees")
    rated = positive_scalar("rated secondary current", i_secondary_rated_a)
    size = voltage / current
    return MeasuredBurden(cmath.rect(size, math.radians(angle)), rated**2 * size)


def resistive_part_va(z_burden_ohm: complex, i_secondary_rated_a: float) -> float:
    """Return the power in W that a burden takes at rated secondary current.

    Formula: P = I_sr^2 R.
    Args: complex ohm; rated secondary current in A.
    Result: W, zero or more.
    Valid at the frequency of the impedance.
    Raises BadInput for a negative resistance or a current of zero or less.
    Source: arithmetic.

    >>> resistive_part_va(0.6 + 0.8j, 5.0)
    15.0
    """
    burden = scalar_impedance("burden", z_burden_ohm)
    current = positive_scalar("rated secondary current", i_secondary_rated_a)
    return current**2 * burden.real
