"""Uncertainty sums against the GUM and against two independent libraries."""

from __future__ import annotations

import math

import GTC
import pytest
import uncertainties
from uncertainties import umath

from ctcore import budgets
from ctcore.uncertainty import Budget, certificate, repeats, resolution, specification

# JCGM 100:2008, H.2: voltage, current, angle, their standard uncertainties and correlations (Table H.2).
VOLTAGE_V, CURRENT_A, ANGLE_RAD = 4.999, 0.019661, 1.04446
U_VOLTAGE_V, U_CURRENT_A, U_ANGLE_RAD = 0.0032, 9.5e-6, 0.00075
CORRELATIONS = (-0.36, 0.86, -0.65)


def of_the_gum() -> budgets.BurdenBudgets:
    return budgets.burden(
        VOLTAGE_V,
        CURRENT_A,
        ANGLE_RAD,
        u_voltage_v=U_VOLTAGE_V,
        u_current_a=U_CURRENT_A,
        u_angle_rad=U_ANGLE_RAD,
        correlations=CORRELATIONS,
    )


def test_impedance_of_gum_h2_agrees_with_table_h4() -> None:
    """UNC-01, JCGM 100:2008 Table H.4: values to half of the last digit or as the rounded inputs allow.

    uR computes to 0.070 with the rounded correlation coefficients; the table, from raw data, prints 0.071:
    0.0015.
    """
    result = of_the_gum()
    assert result.r_ohm.value == pytest.approx(127.732, abs=0.002)
    assert result.x_ohm.value == pytest.approx(219.847, abs=0.002)
    assert result.z_ohm.value == pytest.approx(254.26, abs=0.001)
    assert result.r_ohm.u_combined == pytest.approx(0.071, abs=0.0015)
    assert result.x_ohm.u_combined == pytest.approx(0.295, abs=0.002)
    assert result.z_ohm.u_combined == pytest.approx(0.236, abs=0.001)


def test_impedance_of_gum_h2_agrees_with_the_library_uncertainties() -> None:
    """The package `uncertainties` propagates to the first order, as we do: 1e-9."""
    r_vi, r_va, r_ia = CORRELATIONS
    spreads = (U_VOLTAGE_V, U_CURRENT_A, U_ANGLE_RAD)
    links = [[1.0, r_vi, r_va], [r_vi, 1.0, r_ia], [r_va, r_ia, 1.0]]
    covariance = [[links[i][j] * spreads[i] * spreads[j] for j in range(3)] for i in range(3)]
    voltage, current, angle = uncertainties.correlated_values((VOLTAGE_V, CURRENT_A, ANGLE_RAD), covariance)
    result = of_the_gum()
    theirs = voltage / current * umath.cos(angle), voltage / current * umath.sin(angle), voltage / current
    ours = result.r_ohm, result.x_ohm, result.z_ohm
    assert [budget.value for budget in ours] == pytest.approx([number.n for number in theirs], rel=1e-9)
    assert [budget.u_combined for budget in ours] == pytest.approx([number.s for number in theirs], rel=1e-9)


def test_impedance_of_gum_h2_agrees_with_the_library_gtc() -> None:
    """The package `GTC` propagates to the first order, as we do: 1e-9."""
    voltage = GTC.ureal(VOLTAGE_V, U_VOLTAGE_V, independent=False)
    current = GTC.ureal(CURRENT_A, U_CURRENT_A, independent=False)
    angle = GTC.ureal(ANGLE_RAD, U_ANGLE_RAD, independent=False)
    GTC.set_correlation(CORRELATIONS[0], voltage, current)
    GTC.set_correlation(CORRELATIONS[1], voltage, angle)
    GTC.set_correlation(CORRELATIONS[2], current, angle)
    size = voltage / current
    theirs = size * GTC.cos(angle), size * GTC.sin(angle), size
    result = of_the_gum()
    ours = result.r_ohm, result.x_ohm, result.z_ohm
    assert [budget.u_combined for budget in ours] == pytest.approx(
        [GTC.uncertainty(number) for number in theirs], rel=1e-9
    )


# Five readings with a standard deviation of 0.01 and a mean of zero.
FIVE_READINGS = (0.01 * math.sqrt(2.0), -0.01 * math.sqrt(2.0), 0.0, 0.0, 0.0)


def ratio_error_budget() -> Budget:
    return Budget(
        "ratio error",
        "percent",
        0.0,
        (
            certificate("calibration", 0.0, 0.02),
            specification("specification", 0.0, floor=0.03),
            resolution("resolution", 0.0, 0.01),
            repeats("repeats", FIVE_READINGS),
        ),
    )


def test_ratio_error_budget_of_unc_05_agrees_with_the_rules() -> None:
    """UNC-05: JCGM 100:2008 4.3, 5.1.2, G.4; constructed to seven digits: 1e-4, degrees of freedom 1e-3."""
    budget = ratio_error_budget()
    assert budget.u_combined == pytest.approx(0.02069622, rel=1e-4)
    assert budget.u_expanded == pytest.approx(0.04139243, rel=1e-4)
    assert budget.dof_effective == pytest.approx(1834.694, rel=1e-3)


def test_ratio_error_budget_agrees_with_the_library_gtc() -> None:
    """The package `GTC` computes combined uncertainty and Welch-Satterthwaite degrees of freedom: 1e-9."""
    total = (
        GTC.ureal(0.0, 0.01)
        + GTC.ureal(0.0, 0.03 / math.sqrt(3.0))
        + GTC.ureal(0.0, 0.01 / math.sqrt(12.0))
        + GTC.ureal(0.0, 0.01 / math.sqrt(5.0), 4)
    )
    budget = ratio_error_budget()
    assert budget.u_combined == pytest.approx(GTC.uncertainty(total), rel=1e-9)
    assert budget.dof_effective == pytest.approx(GTC.dof(total), rel=1e-9)


def test_resistance_at_75_degc_agrees_with_the_library_uncertainties() -> None:
    """R (234.5 + 75)/(234.5 + t), reading known to 0.1 %, temperature to 1 K: 1e-9."""
    r_ohm = uncertainties.ufloat(0.5, 0.0005)
    t_degc = uncertainties.ufloat(20.0, 1.0)
    theirs = r_ohm * 309.5 / (234.5 + t_degc)
    budget = budgets.winding_resistance(0.5, 20.0, u_r_rel=0.001, u_t_k=1.0)
    assert budget.value == pytest.approx(theirs.n, rel=1e-9)
    assert budget.u_combined == pytest.approx(theirs.s, rel=1e-9)


def test_turns_ratio_error_with_one_instrument_agrees_with_the_library_uncertainties() -> None:
    """Two voltages of one instrument, correlated 0.8, in the IEC sense: 1e-9."""
    spreads = 120.0 * 1e-3, 0.2 * 2e-3
    product = 0.8 * spreads[0] * spreads[1]
    secondary, primary = uncertainties.correlated_values(
        (120.0, 0.2), [[spreads[0] ** 2, product], [product, spreads[1] ** 2]]
    )
    theirs = 100.0 * (599.0 * primary / secondary - 1.0)
    budget = budgets.turns_ratio_error(
        120.0, 0.2, 599, u_secondary_rel=1e-3, u_primary_rel=2e-3, correlation=0.8
    )
    assert budget.value == pytest.approx(theirs.n, rel=1e-9)
    assert budget.u_combined == pytest.approx(theirs.s, rel=1e-9)


def test_ratio_error_with_two_instruments_agrees_with_the_library_uncertainties() -> None:
    """Two independent currents: 1e-9."""
    secondary = uncertainties.ufloat(4.98, 4.98 * 2e-3)
    primary = uncertainties.ufloat(600.0, 600.0 * 3e-3)
    theirs = 100.0 * (120.0 * secondary / primary - 1.0)
    budget = budgets.ratio_error(120.0, 600.0, 4.98, u_primary_rel=3e-3, u_secondary_rel=2e-3)
    assert budget.value == pytest.approx(theirs.n, rel=1e-9)
    assert budget.u_combined == pytest.approx(theirs.s, rel=1e-9)
