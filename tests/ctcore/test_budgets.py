"""Ready budgets: which lines they hold and what they refuse."""

from __future__ import annotations

import numpy as np
import pytest

from ctcore import budgets
from ctcore.curve import Curve
from ctcore.errors import BadInput
from ctcore.uncertainty import Budget


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
    budget = budgets.ratio_error(120, 600.0, 5.0, u_primary_rel=1e-3, u_secondary_rel=1e-3, correlation=1.0)
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


def steep_curve() -> Curve:
    """I = 20 mA (V/200)^10: a share of voltage counts ten times."""
    volt = np.geomspace(100.0, 300.0, 40)
    return Curve(volt, 0.02 * (volt / 200.0) ** 10)


def composite(**spreads: float) -> Budget:
    known = {"u_r_ohm": 0.0, "u_voltage_rel": 0.0, "u_current_rel": 0.0, **spreads}
    return budgets.composite_error(steep_curve(), 20, 1.0, r_winding_ohm=2.0, z_burden_ohm=8.0, **known)


def test_a_share_of_current_moves_the_composite_error_by_that_share() -> None:
    budget = composite(u_current_rel=0.01)
    assert budget.u_combined == pytest.approx(0.01 * budget.value)


def test_a_share_of_voltage_counts_with_the_slope_of_the_curve() -> None:
    budget = composite(u_voltage_rel=0.01)
    assert budget.u_combined == pytest.approx(0.1 * budget.value, rel=1e-3)


def test_the_winding_resistance_moves_the_composite_error_through_the_emf() -> None:
    """0.1 ohm of 10 ohm is 1 % of the e.m.f., ten times as much of the current."""
    budget = composite(u_r_ohm=0.1)
    assert budget.u_combined == pytest.approx(0.1 * budget.value, rel=1e-3)


def test_a_share_of_a_resistive_burden_moves_the_emf_by_its_part() -> None:
    budget = budgets.limiting_emf(20, 1.0, 5.0, 15.0, u_r_ohm=0.0, u_z_rel=0.01)
    assert budget.u_combined == pytest.approx(400.0 * 0.01 * 15.0 / 20.0)


def test_a_burden_at_right_angles_counts_less() -> None:
    """|3 + j4| is 5: one percent of 4 moves it by 0.04 x 4/5."""
    budget = budgets.limiting_emf(1, 1.0, 3.0, 4j, u_r_ohm=0.0, u_z_rel=0.01)
    assert budget.u_combined == pytest.approx(0.032)


@pytest.mark.parametrize(("degc", "table_id"), [(40.0, "halving_per_10k"), (0.0, "oil"), (50.0, "solid")])
def test_a_kelvin_moves_a_corrected_insulation_resistance(degc: float, table_id: str) -> None:
    budget = budgets.insulation_resistance(1e9, degc, u_r_rel=0.0, u_t_k=1.0, table_id=table_id)
    share = budget.u_combined / budget.value
    assert 0.03 < share < 0.08


def test_the_tester_moves_a_corrected_insulation_resistance_by_its_share() -> None:
    budget = budgets.insulation_resistance(1e9, 20.0, u_r_rel=0.05, u_t_k=0.0)
    assert budget.u_combined == pytest.approx(0.05e9)
