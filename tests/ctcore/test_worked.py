"""Duty figures with their way: the formula with the numbers put in gives the value that stands behind it."""

from __future__ import annotations

import math

import pytest

from ctcore import duty, worked
from ctcore.errors import BadInput

HIGH = {
    "ns_over_np": 600.0,
    "r_winding_ohm": 3.0,
    "r_loop_ohm": 2.0,
    "i_setting_a": 0.05,
    "r_relay_ohm": 200.0,
}


def evaluated(filled: str) -> float:
    """What a filled formula gives, computed apart from the core."""
    signs = {"×": "*", "−": "-", "\u202f": "", "√": "math.sqrt", "ln": "*math.log", " 1 -": " 1 -"}
    for sign, plain in signs.items():
        filled = filled.replace(sign, plain)
    filled = filled.replace("2 math.sqrt", "2*math.sqrt").replace(" *math.log", "*math.log")
    value = eval(filled, {"math": math})
    return float(value)


def test_the_filled_formulas_of_a_high_impedance_scheme_give_their_values() -> None:
    rows = worked.high_impedance(12000.0, **HIGH, v_knee_v=300.0, i_internal_fault_a=20000.0)

    assert [row.name for row in rows] == [
        "Stability voltage", "Least knee voltage", "Stabilising resistor", "Peak voltage without limiter",
    ]  # fmt: skip
    assert [evaluated(row.filled) for row in rows] == pytest.approx([row.value for row in rows], rel=1e-3)


def test_a_fault_that_does_not_reach_the_knee_has_no_peak() -> None:
    rows = worked.high_impedance(12000.0, **HIGH, v_knee_v=1e5, i_internal_fault_a=20.0)

    assert rows[-1].value is None
    assert "does not reach the knee" in rows[-1].text


def test_the_knee_with_the_factor_of_the_user_is_filled_in() -> None:
    row = worked.knee_required(
        1.6, 9000.0, ns_over_np=400.0, r_winding_ohm=2.1, r_loop_ohm=0.9, r_relay_ohm=0.2
    )

    assert row.value == pytest.approx(1.6 * 9000 / 400 * 3.2)
    assert evaluated(row.filled) == pytest.approx(row.value)
    assert "entered by the user" in row.source


def test_the_saturation_free_voltage_counts_offset_and_remanence() -> None:
    row = worked.saturation_free(8000.0, 14.0, ns_over_np=240.0, z_total_ohm=1.5, remanence_ratio=0.4)

    assert row.value == pytest.approx(8000 / 240 * 1.5 * 15 / 0.6)
    assert evaluated(row.filled) == pytest.approx(row.value)


def test_the_time_to_saturation_is_filled_in() -> None:
    row = worked.time_to_saturation(5.0, 12.0, 60.0)

    assert row.value == pytest.approx(0.0129063, rel=1e-5)
    assert evaluated(row.filled.replace("−", "-")) == pytest.approx(row.value, rel=1e-3)


def test_a_line_holds_name_formula_numbers_and_result() -> None:
    row = worked.time_to_saturation(5.0, 12.0, 60.0)

    assert row.text.startswith("Time to saturation: −T1 ln(1 − (Ks − 1)/(X/R)) = −")
    assert row.text.endswith(row.result)


def test_a_relay_with_more_resistance_than_needed_is_refused() -> None:
    with pytest.raises(BadInput, match="the relay alone has more than is needed"):
        duty.stabilising_resistor_ohm(100.0, 0.05, r_relay_ohm=2001.0)


@pytest.mark.parametrize("remanence", [1.0, 1.2])
def test_remanence_of_the_whole_flux_is_refused(remanence: float) -> None:
    with pytest.raises(BadInput, match="below 1"):
        duty.saturation_free_voltage_v(
            8000.0, 14.0, ns_over_np=240.0, z_total_ohm=1.5, remanence_ratio=remanence
        )


def test_saturation_free_voltage_and_check_agree_at_the_border() -> None:
    """What just passes by voltage is what just passes in per unit of a C class; arithmetic."""
    volts = duty.saturation_free_voltage_v(8000.0, 14.0, ns_over_np=240.0, z_total_ohm=1.5)
    check = duty.saturation_check(
        14.0, 8000.0, ns_over_np=240.0, i_secondary_rated_a=5.0, z_burden_ohm=1.5, c_voltage_v=volts
    )

    assert check.demand_ratio == pytest.approx(check.capability_ratio)
