"""Saturation in the duty: limits of the formulas and what is refused."""

from __future__ import annotations

import pytest

from ctcore import duty
from ctcore.errors import BadInput


def check(**changes: float) -> duty.SaturationCheck:
    values = {
        "ns_over_np": 240.0,
        "i_secondary_rated_a": 5.0,
        "z_burden_ohm": 1.0,
        "c_voltage_v": 400.0,
    }
    return duty.saturation_check(12.0, 7000.0, **{**values, **changes})


def test_remanence_takes_its_share_of_the_capability() -> None:
    assert not check().saturates
    assert check(remanence_ratio=0.5).saturates


def test_a_core_of_enough_reserve_never_saturates() -> None:
    assert duty.time_to_saturation_s(13.0, 12.0, 50.0) is None


def test_a_larger_reserve_saturates_later() -> None:
    assert duty.time_to_saturation_s(6.0, 12.0, 50.0) > duty.time_to_saturation_s(5.0, 12.0, 50.0)


def test_a_transient_factor_that_is_never_reached_gives_no_time() -> None:
    assert duty.transient_factor(14.0, 0.05, 0.5).t_saturation_s is None


def test_the_transient_factor_does_not_mind_which_time_constant_is_longer() -> None:
    one, other = duty.transient_factor(5.0, 0.05, 0.5), duty.transient_factor(5.0, 0.5, 0.05)
    assert one.highest_ratio == pytest.approx(other.highest_ratio)


def test_a_very_long_secondary_time_constant_agrees_with_the_resistive_form() -> None:
    """X/R of 12 at 50 Hz is a primary time constant of 38 ms."""
    t1_s = duty.time_constant_s(12.0, 50.0)
    by_factor = duty.transient_factor(5.0, t1_s, 1e6, f_hz=50.0).t_saturation_s
    assert by_factor == pytest.approx(duty.time_to_saturation_s(5.0, 12.0, 50.0), rel=1e-4)


@pytest.mark.parametrize(
    ("function", "arguments", "reason"),
    [
        (duty.time_constant_s, (0.0, 50.0), "X/R"),
        (duty.time_to_saturation_s, (1.0, 12.0, 50.0), "symmetrical current alone"),
        (duty.time_to_saturation_s, (0.0, 12.0, 50.0), "saturation factor"),
        (duty.transient_factor, (5.0, 0.05, 0.05), "differs"),
        (duty.transient_factor, (5.0, 0.0, 0.05), "primary time constant"),
    ],
)
def test_impossible_values_are_refused(function: object, arguments: tuple[object, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        function(*arguments)


def test_remanence_as_large_as_saturation_is_refused() -> None:
    with pytest.raises(BadInput, match="below 1"):
        check(remanence_ratio=1.0)


def test_the_stabilising_voltage_is_the_drop_in_winding_and_loop() -> None:
    assert duty.stabilising_voltage_v(6000.0, 600.0, r_winding_ohm=3.0, r_loop_ohm=2.0) == 50.0


def test_a_knee_of_twice_the_setting_is_asked() -> None:
    assert duty.knee_for_high_impedance_v(120.0) == 240.0


def test_a_fault_voltage_below_the_knee_has_no_peak_by_the_formula() -> None:
    assert duty.peak_voltage_v(200.0, 200.0) is None


def test_the_peak_voltage_grows_with_knee_and_fault_voltage() -> None:
    """2 sqrt(2 x 200 x 3200) = 2 x 1131.37 V."""
    assert duty.peak_voltage_v(200.0, 3400.0) == pytest.approx(2262.74, abs=0.01)


def test_the_operating_current_adds_relay_cores_and_limiter() -> None:
    operating_a = duty.operating_current_primary_a(
        600.0, 0.02, transformers_count=4, i_excitation_a=0.005, i_limiter_a=0.01
    )
    assert operating_a == pytest.approx(30.0)


def test_a_scheme_without_transformers_is_refused() -> None:
    with pytest.raises(BadInput, match="at least one"):
        duty.operating_current_primary_a(600.0, 0.02, transformers_count=0, i_excitation_a=0.005)


@pytest.mark.parametrize(
    ("function", "arguments", "reason"),
    [
        (duty.knee_for_high_impedance_v, (0.0,), "setting voltage"),
        (duty.peak_voltage_v, (0.0, 1.0), "knee voltage"),
    ],
)
def test_impossible_voltages_are_refused(
    function: object, arguments: tuple[object, ...], reason: str
) -> None:
    with pytest.raises(BadInput, match=reason):
        function(*arguments)
