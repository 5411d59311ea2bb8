"""Winding resistance at another temperature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ctcore.checks import Real, finite, positive, same_shape
from ctcore.errors import BadInput


@dataclass(frozen=True, slots=True)
class Conductor:
    """A conductor metal: the temperature at which its straight-line resistance would be zero, sign changed.

    >>> conductor("copper").constant_k
    234.5
    """

    name: str
    constant_k: float
    source: str
    tag: str


CONDUCTORS = (
    Conductor("copper", 234.5, "IEC 60228:2004, temperature correction of copper", "seen"),
    Conductor("copper_235", 235.0, "IEC 60076-1:2011, resistance of copper windings", "from memory"),
    Conductor("aluminium", 225.0, "UL wire standard text, EC-grade aluminium", "seen"),
    Conductor("aluminium_228", 228.0, "IEC 60228:2004, temperature correction of aluminium", "seen"),
)


def conductor(name: str) -> Conductor:
    """Return the row of a conductor by its name.

    Formula: none, a look-up.
    Args: name, one of the names in `CONDUCTORS`.
    Valid for copper and aluminium windings.
    Raises BadInput for another name.
    Source: stands in each row.

    >>> conductor("aluminium").constant_k
    225.0
    """
    for row in CONDUCTORS:
        if row.name == name:
            return row
    known = ", ".join(row.name for row in CONDUCTORS)
    raise BadInput("conductor", name, f"the known conductors are {known}")


def correction_factor(
    t_measured_degc: Real, t_reference_degc: Real = 75.0, conductor: str = "copper"
) -> Real:
    """Return the factor from the resistance measured to that at the reference temperature.

    Formula: (Tk + t_reference) / (Tk + t_measured).
    Args: temperatures in degC, scalar or array, above -Tk; conductor by name.
    Result: ratio, above zero.
    Valid from about -50 degC to 200 degC, where the straight line holds.
    Raises BadInput when a temperature is at or below -Tk, where the line has reached zero.
    Source: IEC 60228:2004 and IEC 60076-1:2011 for the constants; the form is arithmetic.

    >>> round(correction_factor(20.0, 75.0), 5)
    1.21611
    """
    constant_k = _row(conductor).constant_k
    measured = _temperature("temperature at the measurement", t_measured_degc, constant_k)
    reference = _temperature("reference temperature", t_reference_degc, constant_k)
    same_shape("temperatures", measured, reference)
    return (constant_k + reference) / (constant_k + measured)


def resistance_ohm(
    r_ohm: Real, t_measured_degc: Real, t_reference_degc: Real = 75.0, conductor: str = "copper"
) -> Real:
    """Return a winding resistance corrected to the reference temperature.

    Formula: R2 = R1 (Tk + t2) / (Tk + t1).
    Args: r_ohm above zero, temperatures in degC, scalar or array; conductor "copper" (Tk 234.5),
    "copper_235", "aluminium" (225) or "aluminium_228".
    Result: ohm, above zero.
    Valid from about -50 degC to 200 degC.
    Raises BadInput for a resistance of zero or less, a temperature at or below -Tk, an unknown conductor.
    Source: IEC 61869-2:2012 (75 degC as reference); constants as in `CONDUCTORS`.

    >>> round(resistance_ohm(0.5, 20.0), 6)
    0.608055
    """
    resistance = positive("winding resistance", r_ohm)
    factor = correction_factor(t_measured_degc, t_reference_degc, conductor)
    same_shape("resistance and temperature", resistance, factor)
    return resistance * factor


def sensitivity_percent_per_k(t_measured_degc: float, conductor: str = "copper") -> float:
    """Return by how many percent the corrected resistance moves per kelvin of the measured temperature.

    Formula: -100 / (Tk + t).
    Args: temperature in degC; conductor by name.
    Result: percent per kelvin, negative: a temperature read too high makes the corrected value too low.
    Valid where the straight line holds.
    Raises BadInput as `correction_factor`.
    Source: arithmetic, derivative of R2 = R1 (Tk + t2) / (Tk + t1).

    >>> round(sensitivity_percent_per_k(20.0), 3)
    -0.393
    """
    constant_k = _row(conductor).constant_k
    measured = _temperature("temperature at the measurement", t_measured_degc, constant_k)
    return float(-100.0 / (constant_k + measured))


def _row(name: str) -> Conductor:
    return conductor(name)


def _temperature(quantity: str, value: Real, constant_k: float) -> Real:
    degc = finite(quantity, value)
    if np.any(np.less_equal(degc, -constant_k)):
        raise BadInput(quantity, value, f"the correction ends at -{constant_k:g} degC")
    return degc
