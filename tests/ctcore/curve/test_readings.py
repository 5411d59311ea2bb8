"""Readings accepted, averaged and refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ctcore.curve import Curve, mark_reversed
from ctcore.curve.readings import accept
from ctcore.errors import BadInput


def test_a_rising_take_is_kept_as_it_is() -> None:
    readings = accept([1.1, 2.3, 3.7], [0.1, 0.2, 0.3], u_voltage_rel=0.002)
    assert (readings.voltage_v, readings.current_a) == ((1.1, 2.3, 3.7), (0.1, 0.2, 0.3))


def test_equal_voltages_are_averaged_where_scatter_is_stated() -> None:
    readings = accept([10.0, 20.0, 20.0, 30.0], [0.1, 0.2, 0.3, 0.5], u_voltage_rel=0.002)
    assert readings.count == (1, 2, 1)
    assert readings.current_a[1] == pytest.approx((0.2 * 0.3) ** 0.5)


def test_equal_voltages_are_refused_where_scatter_is_not_stated() -> None:
    with pytest.raises(BadInput, match="reading 3 does not rise"):
        accept([10.0, 20.0, 20.0, 30.0], [0.1, 0.2, 0.3, 0.5])


def test_a_fall_within_three_root_two_u_is_averaged() -> None:
    assert accept([10.0, 100.0, 99.2, 130.0], [0.1, 0.2, 0.2, 0.5], u_voltage_rel=0.002).count == (1, 2, 1)


def test_a_fall_beyond_three_root_two_u_is_refused() -> None:
    with pytest.raises(BadInput, match="reading 3 does not rise"):
        accept([10.0, 100.0, 99.1, 130.0], [0.1, 0.2, 0.2, 0.5], u_voltage_rel=0.002)


def test_averaging_goes_back_as_far_as_the_voltages_cross() -> None:
    readings = accept([10.0, 20.0, 20.1, 19.85, 30.0], [0.1, 0.2, 0.2, 0.2, 0.5], u_voltage_rel=0.005)
    assert readings.count == (1, 3, 1)


def test_reversed_readings_are_marked_and_later_higher_ones_are_not() -> None:
    assert mark_reversed([10.0, 20.0, 15.0, 18.0, 30.0], 0.002) == (False, False, True, True, False)


def test_an_empty_take_has_no_marks() -> None:
    assert mark_reversed([], 0.002) == ()


def test_three_voltages_that_cannot_be_told_apart_are_no_curve() -> None:
    with pytest.raises(BadInput, match="fewer than three"):
        accept([100.0, 100.0, 100.0], [0.1, 0.1, 0.1], u_voltage_rel=0.002)


@pytest.mark.parametrize(
    ("voltage", "current", "reason"),
    [
        ([1.0, 2.0], [0.1, 0.2], "at least 3"),
        ([1.0, 2.0, 3.0], [0.1, 0.2], "needs its current"),
        ([1.0, 2.0, float("nan")], [0.1, 0.2, 0.3], "reading 3"),
        ([1.0, 2.0, 3.0], [0.1, float("inf"), 0.3], "reading 2"),
        ([0.0, 2.0, 3.0], [0.1, 0.2, 0.3], "reading 1"),
        ([1.0, 2.0, 3.0], [0.1, -0.2, 0.3], "reading 2"),
        ([[1.0, 2.0, 3.0]], [0.1, 0.2, 0.3], "one row"),
        ([[1.0], [2.0, 3.0]], [0.1, 0.2, 0.3], "one row"),
        (["1", "2", "3"], [0.1, 0.2, 0.3], "real numbers"),
        ([1j, 2.0, 3.0], [0.1, 0.2, 0.3], "real numbers"),
        (5.0, [0.1, 0.2, 0.3], "one row"),
    ],
)
def test_readings_that_make_no_curve_are_refused_with_the_reason(
    voltage: list[float], current: list[float], reason: str
) -> None:
    with pytest.raises(BadInput, match=reason):
        accept(voltage, current)


@pytest.mark.parametrize("u_rel", [-0.001, float("nan"), 0.6, True, "0.002"])
def test_an_uncertainty_that_is_none_is_refused(u_rel: float) -> None:
    with pytest.raises(BadInput, match="u_voltage_rel"):
        Curve([1.0, 2.0, 3.0], [0.1, 0.2, 0.3], u_voltage_rel=u_rel, u_current_rel=0.005)


def test_two_uncertainties_of_zero_are_refused() -> None:
    with pytest.raises(BadInput, match="leave both out"):
        Curve([1.0, 2.0, 3.0], [0.1, 0.2, 0.3], u_voltage_rel=0.0, u_current_rel=0.0)


def test_a_common_uncertainty_of_none_is_refused() -> None:
    with pytest.raises(BadInput, match="leave it out"):
        Curve([1.0, 2.0, 3.0], [0.1, 0.2, 0.3], u_voltage_scale_rel=None)  # type: ignore[arg-type]


@given(
    st.lists(st.floats(1e-3, 1e5), min_size=0, max_size=30),
    st.one_of(st.none(), st.floats(0.0, 0.1)),
)
def test_what_is_left_unmarked_always_makes_a_curve_of_rising_voltage(
    voltage: list[float], u_rel: float | None
) -> None:
    marks = np.array(mark_reversed(voltage, u_rel), dtype=bool)
    kept = np.array(voltage)[~marks]
    assert not any(mark_reversed(kept, u_rel))
