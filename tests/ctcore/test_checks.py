"""What the checks let through and what they refuse by name."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from ctcore import budgets, burden, checks, duty, limiting, transfer
from ctcore.errors import BadInput

NO_NUMBERS = [
    None,
    True,
    "5",
    b"5",
    object(),
    [[1.0], [1.0, 2.0]],
    [],
    float("nan"),
    float("inf"),
    1e19,
    10**400,
    [1e19],
    [float("nan")],
]


@pytest.mark.parametrize("value", [*NO_NUMBERS, 1j])
def test_what_is_no_real_number_is_refused(value: Any) -> None:
    with pytest.raises(BadInput, match="length"):
        checks.finite("length", value)


@pytest.mark.parametrize("value", NO_NUMBERS)
def test_what_is_no_complex_number_is_refused(value: Any) -> None:
    with pytest.raises(BadInput, match="burden"):
        checks.finite_complex("burden", value)


def test_arrays_come_back_as_arrays_of_floats() -> None:
    assert checks.finite("length", [1, 2]).dtype == np.float64
    assert checks.finite_complex("burden", [1, 2]).dtype == np.complex128


@pytest.mark.parametrize("value", [0.0, -1.0, 1e-19, [1.0, 0.0]])
def test_what_is_not_above_zero_is_refused(value: Any) -> None:
    with pytest.raises(BadInput, match="current"):
        checks.positive("current", value)


def test_a_negative_value_is_refused_where_zero_may_stand() -> None:
    with pytest.raises(BadInput, match="zero or more"):
        checks.not_negative("resistance", -0.1)


def test_an_array_is_refused_where_one_number_is_needed() -> None:
    with pytest.raises(BadInput, match="not an array"):
        checks.scalar("limit", [1.0])


def test_a_power_factor_above_one_is_refused() -> None:
    with pytest.raises(BadInput, match="at most 1"):
        checks.power_factor("power factor", 1.1)


def test_a_burden_with_negative_resistance_is_refused() -> None:
    with pytest.raises(BadInput, match="zero or more"):
        checks.impedance("burden", -1 + 1j)


def test_arrays_of_unlike_length_are_refused() -> None:
    with pytest.raises(BadInput, match="same shape"):
        checks.same_shape("values", np.ones(2), np.ones(3))


TABLE = np.zeros((2, 2))


@pytest.mark.parametrize(
    "call",
    [
        lambda: burden.from_measurement(5.0, 1.0, TABLE, i_secondary_rated_a=1.0),
        lambda: burden.resistive_part_va(TABLE, 1.0),
        lambda: budgets.turns_ratio_error(120.0, 0.2, TABLE, u_secondary_rel=1e-3, u_primary_rel=1e-3),
        lambda: duty.operating_current_primary_a(600.0, 0.02, transformers_count=TABLE, i_excitation_a=0.01),
        lambda: limiting.emf_arithmetic_v(20.0, 1.0, 2.0, TABLE),
        lambda: limiting.emf_transient_v(20.0, 12.0, 1.0, 2.0, TABLE),
        lambda: limiting.knee_from_dimensioning_v(20.0, 1.0, 2.0, TABLE),
        lambda: limiting.rated_factor_needed(20.0, 2.0, TABLE, 5.0),
        lambda: transfer.error_bounds(1.0, TABLE),
        lambda: transfer.turns_to_remove_count(
            600, i_magnetising_a=0.01, i_loss_a=TABLE, burden_angle_deg=30.0
        ),
    ],
)
def test_an_array_where_one_number_is_wanted_is_refused_by_name(call: Callable[[], object]) -> None:
    with pytest.raises(BadInput, match="not an array"):
        call()


@pytest.mark.parametrize("count", [float("nan"), 1e308, 0, 2.5, -1])
def test_a_number_of_transformers_that_is_none_is_refused(count: float) -> None:
    with pytest.raises(BadInput, match="number of transformers"):
        duty.operating_current_primary_a(600.0, 0.02, transformers_count=count, i_excitation_a=0.01)
