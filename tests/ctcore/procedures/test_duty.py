"""The duty of a core from keyed figures to formula, value and finding."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from ctcore.quantities import quantity

FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 75, "t_winding_source": "surface_probe"}
AS_ASKED = {
    "tap_id": "S1-S2", "frequency_hz": 50, "voltage_response": "mean", "current_response": "true_rms",
    "demagnetised": "yes_no_dc_since", "primary_state": "open", "other_cores": "none", "links": "lifted",
}  # fmt: skip
# I = 0.02 (V/400)^0.6 + 0.004 (V/400)^18 has its 10/50 knee at 386.2177 V (closed form).
VOLTS = np.array([50, 100, 150, 200, 250, 300, 320, 340, 350, 360, 370, 380, 390, 400, 410, 420, 430, 440.0])


@pytest.fixture
def tested(worksheet: Any) -> Any:
    """A core of 600/1 with 3 ohm at 75 degC and the curve above."""
    sheet = worksheet("PX Ek 350 V Ie 30 mA Rct 3 ohm")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=3.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS, 0.02 * (VOLTS / 400.0) ** 0.6 + 0.004 * (VOLTS / 400.0) ** 18)
    return sheet


def test_a_high_impedance_scheme_gives_stability_knee_resistor_and_peak(tested: Any) -> None:
    """12 000 A on 600/1 through 3 + 2 ohm is 100 V; twice that; 100 V / 50 mA less 200 ohm (arithmetic)."""
    tested.key("duty", "high_impedance", i_fault_primary_a=12000, r_loop_ohm=2, i_setting_a=0.05)
    tested.key("duty", "high_impedance", r_relay_ohm=200, i_fault_internal_a=12000)
    values = [
        tested.derived("duty", name, "high_impedance").value
        for name in ("v_stability_v", "v_knee_least_v", "r_stabilising_ohm")
    ]

    assert values == pytest.approx([100.0, 200.0, 1800.0])
    # 2 sqrt(2 Vk (Vf - Vk)), Vf = 20 A x 2005 ohm = 40 100 V.
    assert tested.derived("duty", "v_peak_v", "high_impedance").value == pytest.approx(
        2.0 * (2.0 * 386.2177 * (40100.0 - 386.2177)) ** 0.5, rel=2e-3
    )
    assert tested.found("duty.knee_high_impedance").verdict == "within"


def test_every_figure_shows_its_formula_with_the_numbers_put_in(tested: Any) -> None:
    tested.key("duty", "high_impedance", i_fault_primary_a=12000, r_loop_ohm=2, i_setting_a=0.05)
    text = tested.found("duty.v_stability_v").text.replace("\u202f", " ").replace("\u00a0", " ")

    assert text == "Stability voltage: If/n (Rct + Rl) = 12 000/600 × (3 + 2) = 100.0 V."


def test_a_knee_below_what_the_relay_asks_is_referred(tested: Any) -> None:
    """5 x 12 000/600 x (3 + 2) = 500 V, the knee is 386 V (arithmetic)."""
    tested.key("duty", "factor", i_fault_primary_a=12000, r_loop_ohm=2, factor_k_ratio=5)
    found = tested.found("duty.knee_factor")

    assert (found.limit, found.verdict) == (500.0, "refer")


def test_an_offset_fault_gives_the_saturation_free_voltage_and_the_time(tested: Any) -> None:
    """20 A x 5 ohm x (1 + 10) = 1100 V; Ks 3.862: -T1 ln(1 - 2.862/10), T1 = 10/(2 pi 50); C37.110."""
    tested.key("duty", "offset", i_fault_primary_a=12000, r_loop_ohm=2, x_over_r_ratio=10)

    assert tested.derived("duty", "v_saturation_free_v", "offset").value == pytest.approx(1100.0)
    assert tested.derived("duty", "t_saturation_s", "offset").value == pytest.approx(0.010734, rel=1e-2)


def test_remanence_takes_its_share_of_the_time(tested: Any) -> None:
    tested.key(
        "duty", "offset", i_fault_primary_a=12000, r_loop_ohm=2, x_over_r_ratio=10, remanence_ratio=0.5
    )

    assert tested.derived("duty", "v_saturation_free_v", "offset").value == pytest.approx(2200.0)
    assert tested.derived("duty", "t_saturation_s", "offset").value == pytest.approx(0.003111, rel=2e-2)


@pytest.mark.parametrize(
    ("row", "name"),
    [("high_impedance", "i_setting_a"), ("factor", "factor_k_ratio"), ("offset", "x_over_r_ratio")],
)
def test_a_figure_that_the_formula_needs_is_asked_for_by_name(tested: Any, row: str, name: str) -> None:
    tested.key("duty", row, i_fault_primary_a=12000, r_loop_ohm=2)
    found = tested.found(f"duty.{row}")

    assert found.verdict == "not tested"
    assert quantity(name).name in found.text.lower().replace("x/r", "X/R")


def test_without_a_winding_resistance_nothing_is_worked_out(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 350 V Ie 30 mA Rct 3 ohm")
    sheet.key("duty", "factor", i_fault_primary_a=12000, r_loop_ohm=2, factor_k_ratio=2)

    assert "winding resistance is not tested yet" in sheet.found("duty.factor").text


def test_without_a_curve_the_knee_is_not_tested(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 350 V Ie 30 mA Rct 3 ohm")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=3.0)
    sheet.key("duty", "factor", i_fault_primary_a=12000, r_loop_ohm=2, factor_k_ratio=2)

    assert sheet.found("duty.knee_factor").verdict == "not tested"


def test_a_setting_of_nothing_is_referred_with_its_reason(tested: Any) -> None:
    tested.key("duty", "high_impedance", i_fault_primary_a=12000, r_loop_ohm=2, i_setting_a=0)

    assert tested.found("duty.high_impedance").verdict == "refer"


def test_a_resistor_that_the_relay_has_in_itself_is_refused(tested: Any) -> None:
    """A relay of more ohm than Vs/Is leaves no resistor to add."""
    tested.key("duty", "high_impedance", i_fault_primary_a=12000, r_loop_ohm=2, i_setting_a=0.05)
    tested.key("duty", "high_impedance", r_relay_ohm=3000)

    assert [one.rule for one in tested.findings() if one.verdict == "refer" and one.procedure == "duty"]


def test_a_knee_measured_anew_reaches_the_duty(tested: Any) -> None:
    tested.key("duty", "factor", i_fault_primary_a=12000, r_loop_ohm=2, factor_k_ratio=3.5)
    before = tested.found("duty.knee_factor").verdict
    tested.key("excitation", take=2, **AS_ASKED)
    tested.points(VOLTS * 0.5, 0.02 * (VOLTS / 400.0) ** 0.6 + 0.004 * (VOLTS / 400.0) ** 18, take=2)

    assert (before, tested.found("duty.knee_factor").verdict) == ("within", "refer")
