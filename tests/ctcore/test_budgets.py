"""Ready budgets: which lines they hold and what they refuse."""

from __future__ import annotations

import pytest

from ctcore import budgets
from ctcore.errors import BadInput


def test_the_temperature_is_the_largest_line_of_a_winding_resistance() -> None:
    rows = budgets.winding_resistance(0.5, 20.0, u_r_rel=0.001, u_t_k=1.0).rows()
    shares = {row.name: row.share_percent for row in rows}
    assert shares["winding temperature"] > 90.0


def test_the_drop_in_the_winding_widens_the_turns_ratio_error() -> None:
    budget = budgets.turns_ratio_error(
        120.0, 0.2, 600, u_secondary_rel=0.0, u_primary_rel=0.0, drop_ratio=0.003
    )
    assert budget.u_combined == pytest.approx(0.3 / 3.0**0.5)


def test_currents_of_one_instrument_cancel_in_the_ratio_error() -> None:
    budget = budgets.ratio_error(
        120, 600.0, 5.0, u_primary_rel=1e-3, u_secondary_rel=1e-3, correlation=1.0
    )
    assert budget.u_combined == pytest.approx(0.0, abs=1e-9)


def test_voltages_of_one_instrument_cancel_in_the_turns_ratio_error() -> None:
    budget = budgets.turns_ratio_error(
        120.0, 0.2, 600, u_secondary_rel=1e-3, u_primary_rel=1e-3, correlation=1.0
    )
    assert budget.u_combined == pytest.approx(0.0, abs=1e-9)


def test_the_impedance_of_a_burden_does_not_hang_on_its_angle() -> None:
    result = budgets.burden(5.0, 1.0, 0.5, u_voltage_v=0.0, u_current_a=0.0, u_angle_rad=0.01)
    assert result.z_ohm.u_combined == 0.0 < result.x_ohm.u_combined


def test_the_frequency_carries_over_to_the_knee() -> None:
    assert budgets.knee_voltage(200.0, 0.0, u_frequency_rel=0.01).u_combined == pytest.approx(2.0)


def test_a_knee_whose_uncertainty_is_not_stated_has_no_budget() -> None:
    with pytest.raises(BadInput, match="not stated"):
        budgets.knee_voltage(200.0, None)


def test_a_negative_uncertainty_is_refused() -> None:
    with pytest.raises(BadInput, match="standard uncertainty"):
        budgets.winding_resistance(0.5, 20.0, u_r_rel=-0.001, u_t_k=1.0)
