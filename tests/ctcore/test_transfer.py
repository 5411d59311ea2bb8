"""Errors from the exciting admittance: signs, bounds, arrays, edges."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ctcore import ratio, transfer
from ctcore.errors import BadInput


def test_a_core_without_exciting_current_has_no_error() -> None:
    result = transfer.errors(600, 600, 1.0, 2.0, 10.0, 0.0)
    assert (result.ratio_error_percent, result.phase_displacement_arcmin) == (0.0, 0.0)
    assert (result.rcf, result.i_excitation_a, result.emf_v) == (1.0, 0.0, 12.0)


def test_loss_lowers_the_secondary_current_and_magnetising_makes_it_lead() -> None:
    loss = transfer.errors(600, 600, 1.0, 2.0, 10.0, 1e-4)
    magnetising = transfer.errors(600, 600, 1.0, 2.0, 10.0, -1e-4j)
    assert loss.ratio_error_percent < 0.0 == loss.phase_displacement_arcmin
    assert magnetising.phase_displacement_arcmin > 0.0


def test_a_missing_turn_raises_the_ratio_error_by_its_share() -> None:
    corrected = transfer.errors(600, 599, 1.0, 2.0, 10.0, 0.0)
    assert corrected.ratio_error_percent == pytest.approx(ratio.turns_ratio_error_percent(599, 600))


def test_an_admittance_that_grows_with_the_emf_is_asked_at_the_emf() -> None:
    result = transfer.errors(600, 600, 1.0, 2.0, 10.0, lambda emf_v: 1e-5 * emf_v)
    assert result.i_excitation_a == pytest.approx(1e-5 * 12.0 * 12.0)


def test_arrays_of_current_give_arrays_of_errors() -> None:
    current = np.array([0.05, 1.0])
    result = transfer.errors(600, 600, current, 2.0, 10.0, lambda emf_v: 1e-5 * emf_v)
    assert result.emf_v == pytest.approx([0.6, 12.0])
    assert result.ratio_error_percent.shape == (2,)


@given(
    st.floats(0.01, 10.0),
    st.floats(0.0, 20.0),
    st.floats(0.1, 50.0),
    st.floats(0.0, 1e-3),
    st.floats(0.0, 1e-3),
)
def test_errors_lie_within_the_bounds_of_their_exciting_current(
    current_a: float, r_ohm: float, z_ohm: float, conductance_s: float, susceptance_s: float
) -> None:
    result = transfer.errors(600, 600, current_a, r_ohm, z_ohm, conductance_s - 1j * susceptance_s)
    bounds = transfer.error_bounds(current_a, result.i_excitation_a)
    slack = 1.0 + 1e-9
    assert abs(result.ratio_error_percent) <= bounds.ratio_error_percent * slack + 1e-9
    assert abs(result.phase_displacement_arcmin) <= bounds.phase_displacement_arcmin * slack + 1e-9


@given(st.floats(0.0, 1e-3), st.floats(0.0, 1e-3))
def test_composite_error_agrees_with_ratio_error_and_phase(
    conductance_s: float, susceptance_s: float
) -> None:
    result = transfer.errors(600, 598, 1.0, 2.0, 8 + 6j, conductance_s - 1j * susceptance_s)
    from_errors = ratio.composite_error_from_errors_percent(
        result.ratio_error_percent, result.phase_displacement_arcmin
    )
    assert result.composite_error_percent == pytest.approx(from_errors, rel=1e-9, abs=1e-9)
    assert result.rcf == pytest.approx(ratio.rcf_from_ratio_error(result.ratio_error_percent))


def test_the_first_order_form_agrees_while_the_exciting_current_is_small() -> None:
    def at(first_order: bool) -> transfer.PrimaryCurrent:
        return transfer.from_excitation_components(
            200, 1, turns_secondary_count=200, i_secondary_a=5.0, i_magnetising_a=2.0, i_loss_a=1.0,
            burden_angle_deg=30.0, first_order=first_order,
        )  # fmt: skip

    exact, first = at(False), at(True)
    assert exact.ratio_error_percent == pytest.approx(first.ratio_error_percent, abs=2e-4)
    assert exact.phase_displacement_arcmin == pytest.approx(first.phase_displacement_arcmin, rel=3e-3)


def test_the_components_agree_with_the_admittance() -> None:
    """E of 10 V and Y of 2 mS - j4 mS: 20 mA of loss and 40 mA of magnetising current, times 200 turns."""
    by_admittance = transfer.errors(200, 200, 5.0, 0.0, 2.0, 0.002 - 0.004j)
    by_components = transfer.from_excitation_components(
        200, 1, turns_secondary_count=200, i_secondary_a=5.0, i_magnetising_a=8.0, i_loss_a=4.0,
        burden_angle_deg=0.0,
    )  # fmt: skip
    assert by_components.ratio_error_percent == pytest.approx(by_admittance.ratio_error_percent)
    assert by_components.phase_displacement_arcmin == pytest.approx(by_admittance.phase_displacement_arcmin)


def test_turns_removed_scale_with_the_primary_turns() -> None:
    turns = transfer.turns_to_remove_count(
        5.0, i_magnetising_a=0.0, i_loss_a=10.0, burden_angle_deg=0.0, turns_primary_count=2.0
    )
    assert turns == 4.0


def test_core_flux_follows_from_the_emf() -> None:
    assert transfer.core_flux_peak_wb(2.0 * math.pi * 50.0 / math.sqrt(2.0), 1.0, 50.0) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ((0.0, 600, 1.0, 2.0, 10.0, 0.0), "rated transformation ratio"),
        ((600, -1, 1.0, 2.0, 10.0, 0.0), "turns ratio"),
        ((600, 600, 0.0, 2.0, 10.0, 0.0), "secondary current"),
        ((600, 600, 1.0, -2.0, 10.0, 0.0), "winding resistance"),
        ((600, 600, 1.0, 2.0, -10.0, 0.0), "burden"),
        ((600, 600, 1.0, 2.0, 10.0, float("nan")), "exciting admittance"),
        ((600, 600, 1.0, 2.0, 10.0, lambda _: None), "exciting admittance"),
        ((600, 600, 1.0, 0.0, 1.0, -1.0), "would be zero"),
        ((600, 600, np.ones(2), np.ones(3), 10.0, 0.0), "same shape"),
        ((600, 600, np.ones(2), 2.0, 10.0, np.ones(3)), "same shape"),
    ],
)
def test_impossible_values_are_refused(arguments: tuple[object, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        transfer.errors(*arguments)


@pytest.mark.parametrize(("secondary_a", "exciting_a"), [(1.0, 1.0), (1.0, 2.0), (0.0, 0.0), (1.0, -0.1)])
def test_an_exciting_current_as_large_as_the_secondary_has_no_bounds(
    secondary_a: float, exciting_a: float
) -> None:
    with pytest.raises(BadInput, match="current"):
        transfer.error_bounds(secondary_a, exciting_a)


@pytest.mark.parametrize(
    ("loss_a", "angle_deg", "reason"),
    [(-1.0, 0.0, "loss component"), (0.0, 91.0, "within 90 degrees"), (0.0, -90.0, "no primary current")],
)
def test_impossible_components_are_refused(loss_a: float, angle_deg: float, reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        transfer.from_excitation_components(
            200, 1, turns_secondary_count=200, i_secondary_a=5.0, i_magnetising_a=1e6, i_loss_a=loss_a,
            burden_angle_deg=angle_deg, first_order=True,
        )  # fmt: skip
