"""Saturation in an offset fault against published formulas."""

from __future__ import annotations

import pytest

from ctcore import duty


def test_per_unit_demand_of_sat_02_saturates_the_core() -> None:
    """SAT-02: electricpy.fault.ct_saturation formula, 20 >= (X/R + 1) If Zb; exact."""
    check = duty.saturation_check(
        12, 12000.0, ns_over_np=240, i_secondary_rated_a=5.0, z_burden_ohm=1.0, c_voltage_v=400.0
    )
    assert check.demand_ratio == pytest.approx(32.5, abs=1e-9)
    assert check.saturates


def test_time_to_saturation_of_sat_04_agrees() -> None:
    """SAT-04: C37.110-2007 (from memory), same function as electricpy ct_timetosat; six digits, 1e-5."""
    assert duty.time_constant_s(12.0, 60.0) == pytest.approx(0.031831, rel=1e-5)
    assert duty.time_to_saturation_s(5.0, 12.0, 60.0) == pytest.approx(0.0129063, rel=1e-5)


def test_transient_factor_of_sat_05_agrees() -> None:
    """SAT-05: IEC 61869-2 Annex 2B family (formula from memory); seven digits, 1e-5."""
    result = duty.transient_factor(5.0, 0.05, 0.5, f_hz=50.0)
    assert result.highest_ratio == pytest.approx(13.16211, rel=1e-5)
    assert result.t_highest_s == pytest.approx(0.1279214, rel=1e-5)
    assert result.t_saturation_s == pytest.approx(0.01496551, rel=1e-5)
