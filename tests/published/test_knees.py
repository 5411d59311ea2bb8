"""Knees against closed forms and measured steels.

Definitions: IEC 61869-2:2012, 3.4.215 and 3.4.216 (text seen); IEEE Std 3004.1-2013 for the 45 degree tangent
(text seen); 30 degree for gapped cores from memory (IEEE C57.13). The numbers of KNEE-01 to KNEE-04 are
constructed in closed form from those definitions. The two steels are points of the open package pyleecan
1.4.2 (Apache-2.0), on a toroid of 120 turns, mean path 0.6 m, 12 cm2, 50 Hz.
"""

from __future__ import annotations

from math import log

import numpy as np
import pytest

from ctcore.curve import RULES, Curve
from ctcore.curve.knee import CURRENT_STEP_RATIO, VOLTAGE_STEP_RATIO
from tests.bench.curve_families import (
    AMPERES_PER_A_PER_M,
    VOLTS_PER_TESLA,
    steel_points,
    two_powers,
)

KNEE_01_V = [40, 80, 120, 140, 160, 180, 190, 200, 210, 220, 230, 240, 250, 260, 270, 280]
KNEE_01_A = [
    0.01495, 0.02515, 0.03411, 0.0384, 0.04298, 0.04903, 0.05352, 0.06,
    0.06982, 0.08509, 0.10903, 0.14649, 0.20463, 0.29385, 0.42906, 0.63129,
]  # fmt: skip


@pytest.mark.parametrize(
    ("definition", "knee_v"), [("tangent45", 164.8), ("tangent30", 187.3), ("iec", 204.7)]
)
def test_three_definitions_of_knee_01_give_three_answers(definition: str, knee_v: float) -> None:
    """0.06 V: half of the last printed digit, and 0.01 V for the interpolation of 121 readings."""
    volts = np.linspace(40.0, 280.0, 121)
    curve = Curve(volts, two_powers(0.75, 12.0, a=0.05, b=0.01, v0=200.0)(volts))
    assert curve.knee(definition).voltage_v == pytest.approx(knee_v, abs=0.06)


@pytest.mark.parametrize(
    ("definition", "knee_v", "knee_a"),
    [
        ("iec", 386.2177, 0.02171158),
        ("tangent45", 353.7082, 0.01901435),
        ("tangent30", 376.452, 0.02062701),
    ],
)
def test_knees_of_knee_02_agree_with_the_closed_form(definition: str, knee_v: float, knee_a: float) -> None:
    """1e-4 as given with the example; 221 readings leave no error of interpolation."""
    volts = np.linspace(40.0, 480.0, 221)
    knee = Curve(volts, two_powers(0.6, 18.0, a=0.02, b=0.004, v0=400.0)(volts)).knee(definition)
    assert (knee.voltage_v, knee.current_a) == pytest.approx((knee_v, knee_a), rel=1e-4)


def test_finite_step_of_knee_03_is_a_slope_of_4_254_on_a_power_law_alone() -> None:
    """1e-5, seven printed digits."""
    assert log(CURRENT_STEP_RATIO) / log(VOLTAGE_STEP_RATIO) == pytest.approx(4.254164, rel=1e-5)


def test_slope_of_the_thirty_degree_tangent_is_0_5774() -> None:
    """Half of the last digit of the printed slope d ln V / d ln I."""
    slope = RULES["tangent30"].slope
    assert slope is not None
    assert 1.0 / slope == pytest.approx(0.5774, abs=5e-5)


def test_sampled_table_of_knee_04_gives_the_analytic_knee() -> None:
    """204.715 V by the closed form; 2e-4 since the table is rounded to four digits of current."""
    knee = Curve(KNEE_01_V, KNEE_01_A).knee("iec")
    assert knee.voltage_v == pytest.approx(204.715, rel=2e-4)


def test_sampled_table_of_knee_04_agrees_with_straight_lines_on_log_log() -> None:
    """204.5937 V and 0.06438578 A by straight lines; those lie low, and the example allows 1 % in V."""
    knee = Curve(KNEE_01_V, KNEE_01_A).knee("iec")
    assert knee.voltage_v == pytest.approx(204.5937, rel=0.01)
    assert knee.current_a == pytest.approx(0.06438578, rel=0.01)


@pytest.mark.parametrize(
    ("steel", "definition", "knees_v"),
    [
        ("M270-35A", "iec", (36.90, 36.96)),
        ("M270-35A", "tangent45", (24.88, 24.89)),
        ("M235-35A", "iec", (36.61, 36.62)),
        ("M235-35A", "tangent45", (23.92, 23.98)),
    ],
)
def test_knees_of_measured_steels_agree_with_two_independent_interpolations(
    steel: str, definition: str, knees_v: tuple[float, float]
) -> None:
    """0.2 %, by which the two interpolations differ between themselves."""
    field, flux = steel_points(steel)
    knee = Curve(flux * VOLTS_PER_TESLA, field * AMPERES_PER_A_PER_M).knee(definition)
    assert knee.voltage_v == pytest.approx(np.mean(knees_v), rel=2e-3)


def test_a_toroid_of_the_reference_has_32_volts_per_tesla() -> None:
    """31.989 V/T and 3.5355 mA per A/m as printed; half of the last digit."""
    assert pytest.approx(31.989, abs=5e-4) == VOLTS_PER_TESLA
    assert pytest.approx(3.5355e-3, abs=5e-8) == AMPERES_PER_A_PER_M
