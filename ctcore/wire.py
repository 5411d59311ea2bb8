"""Resistance of leads: metric and gauge sizes, length and temperature, loops."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ctcore.checks import positive_scalar, scalar
from ctcore.errors import BadInput
from ctcore.temperature import correction_factor

OHM_PER_KM_PER_OHM_PER_KFT = 1.0 / 0.3048
# IEC 60028, annealed copper at 20 degC, as ASTM B258 tables use it.
COPPER_OHM_M = 1.7241e-8


@dataclass(frozen=True, slots=True)
class MetricWire:
    """A cross-section with its highest resistance per length at 20 degC."""

    area_mm2: float
    r_20degc_ohm_per_km: float
    source: str
    tag: str


_IEC_60228 = "IEC 60228, class 2, plain annealed copper (two public reproductions), maxima"
METRIC_WIRES = (
    MetricWire(1.5, 12.1, _IEC_60228, "seen"),
    MetricWire(2.5, 7.41, _IEC_60228, "seen"),
    MetricWire(4.0, 4.61, _IEC_60228, "seen"),
    MetricWire(6.0, 3.08, _IEC_60228, "seen"),
    MetricWire(10.0, 1.83, _IEC_60228, "seen"),
)

# How many lengths of wire a current meets; which one is meant is said wherever the loop is shown.
LOOPS = {"there_and_back": 2.0, "one_way": 1.0}


def metric_ohm_per_km(area_mm2: float) -> float:
    """Return the resistance per kilometre of stranded copper at 20 degC.

    Formula: none, a look-up.
    Args: cross-section in mm2: 1.5, 2.5, 4, 6 or 10.
    Result: ohm/km, the highest that the standard permits.
    Valid for class 2 plain copper.
    Raises BadInput for another cross-section.
    Source: IEC 60228, class 2.

    >>> metric_ohm_per_km(2.5)
    7.41
    """
    area = positive_scalar("cross-section", area_mm2)
    for wire in METRIC_WIRES:
        if wire.area_mm2 == area:
            return wire.r_20degc_ohm_per_km
    known = ", ".join(f"{wire.area_mm2:g}" for wire in METRIC_WIRES)
    raise BadInput("cross-section", area_mm2, f"the tabulated cross-sections are {known} mm2")


def awg_diameter_m(gauge: float) -> float:
    """Return the diameter of a wire by its American gauge.

    Formula: 0.127 mm x 92^((36 - n)/39).
    Args: gauge number, -3 (0000) to 40.
    Result: m.
    Valid for solid round wire.
    Raises BadInput outside.
    Source: ASTM B258.

    >>> round(awg_diameter_m(36) * 1000, 3)
    0.127
    """
    number = scalar("wire gauge", gauge)
    if not -3.0 <= number <= 40.0:
        raise BadInput("wire gauge", gauge, "the gauge runs from -3 (0000) to 40")
    return 0.127e-3 * math.pow(92.0, (36.0 - number) / 39.0)


def awg_ohm_per_km(gauge: float) -> float:
    """Return the resistance per kilometre of a solid copper wire at 20 degC by its American gauge.

    Formula: rho / (pi d^2 / 4), rho = 1.7241e-8 ohm m.
    Args: gauge number, -3 (0000) to 40.
    Result: ohm/km.
    Valid for solid annealed copper; a stranded wire has 2 % more (common practice, no source).
    Raises BadInput outside.
    Source: ASTM B258.

    >>> round(awg_ohm_per_km(10), 2)
    3.28
    """
    diameter = awg_diameter_m(gauge)
    return COPPER_OHM_M / (math.pi * diameter**2 / 4.0) * 1000.0


def loop_resistance_ohm(
    ohm_per_km_20degc: float,
    length_one_way_m: float,
    *,
    loop: str = "there_and_back",
    t_degc: float = 20.0,
) -> float:
    """Return the resistance that the leads add to a burden.

    Formula: r x length x n, n = 2 there and back (single-phase and residual faults) or 1 one way (balanced
    three-phase current, whose common return carries nothing); to another temperature as copper.
    Args: ohm/km at 20 degC; length one way in m; loop "there_and_back" or "one_way"; temperature in degC.
    Result: ohm.
    Valid for copper.
    Raises BadInput for values of zero or less, another loop, or an impossible temperature.
    Source: arithmetic; which loop is common practice, no source.

    >>> loop_resistance_ohm(7.41, 50.0)
    0.741
    """
    per_km = positive_scalar("resistance per kilometre", ohm_per_km_20degc)
    length = positive_scalar("length one way", length_one_way_m)
    if loop not in LOOPS:
        raise BadInput("loop", loop, "the loop is there_and_back or one_way")
    return per_km * length * LOOPS[loop] / 1000.0 * float(correction_factor(20.0, t_degc))
