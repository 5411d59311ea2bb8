"""Limiting e.m.f.s, composite error and limit factors from a curve."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ctcore import limiting
from ctcore.curve import Curve
from ctcore.errors import BadInput


def curve(last_v: float = 400.0) -> Curve:
    """I = 20 mA (V/200)^0.6 + 5 mA (V/200)^12: a core with a sharp knee near 200 V."""
    volt = np.geomspace(10.0, last_v, 60)
    return Curve(volt, 0.02 * (volt / 200.0) ** 0.6 + 0.005 * (volt / 200.0) ** 12)


def test_the_vector_sum_never_exceeds_the_arithmetic_one() -> None:
    vector = limiting.emf_v(20, 5.0, 0.5, 2 + 3j)
    assert vector < limiting.emf_arithmetic_v(20, 5.0, 0.5, 2 + 3j)


def test_both_sums_agree_for_a_resistive_burden() -> None:
    assert limiting.emf_v(20, 1.0, 5.0, 15.0) == limiting.emf_arithmetic_v(20, 1.0, 5.0, 15.0) == 400.0


def test_an_emf_may_be_computed_for_several_factors() -> None:
    assert limiting.emf_v(np.array([10.0, 20.0]), 1.0, 5.0, 15.0) == pytest.approx([200.0, 400.0])


def test_composite_error_is_the_exciting_current_over_the_limit_current() -> None:
    error_percent = limiting.composite_error_percent(curve(), 20, 1.0, 2.0, 8.0)
    assert error_percent == pytest.approx(100.0 * 0.025 / 20.0, rel=1e-3)


def test_composite_error_beyond_the_readings_is_refused() -> None:
    with pytest.raises(BadInput, match="voltage"):
        limiting.composite_error_percent(curve(), 50, 1.0, 2.0, 8.0)


def test_composite_error_takes_one_operating_point_only() -> None:
    with pytest.raises(BadInput, match="one operating point"):
        limiting.composite_error_percent(curve(), np.array([5.0, 10.0]), 1.0, 2.0, 8.0)


def test_at_the_operating_factor_the_composite_error_is_the_limit() -> None:
    factor = limiting.operating_factor(curve(), 1.0, 2.0, 8.0, 5.0)
    assert limiting.composite_error_percent(curve(), factor, 1.0, 2.0, 8.0) == pytest.approx(5.0, rel=1e-9)


@given(st.floats(2.0, 40.0))
def test_a_lighter_burden_reaches_a_higher_factor_in_proportion(r_burden_ohm: float) -> None:
    size_ohm = 2.0 + r_burden_ohm
    factor = limiting.operating_factor(curve(), 1.0, 2.0, r_burden_ohm, 5.0)
    exciting_a = curve().current_a(factor * size_ohm)
    assert 100.0 * exciting_a / factor == pytest.approx(5.0, rel=1e-6)


def test_readings_that_end_before_the_limit_name_the_last_factor_reached() -> None:
    with pytest.raises(BadInput, match="end at a factor of 20 "):
        limiting.operating_factor(curve(last_v=200.0), 1.0, 2.0, 8.0, 5.0)


def test_readings_that_lie_above_the_limit_throughout_are_refused() -> None:
    with pytest.raises(BadInput, match="from the first reading on"):
        limiting.operating_factor(curve(), 1.0, 2.0, 8.0, 0.01)


def test_a_high_error_at_low_flux_is_not_taken_for_the_limit() -> None:
    """The first reading lies above 0.5 %, falls below it, and rises through it at the knee."""
    low_flux_percent = 100.0 * curve().current_a(10.0) * 10.0 / 10.0
    factor = limiting.operating_factor(curve(), 1.0, 2.0, 8.0, 0.3)
    assert low_flux_percent > 0.3
    assert factor * 10.0 > 200.0


def test_rated_factor_needed_is_the_inverse_of_the_operating_factor() -> None:
    operating = limiting.operating_factor_from_plate(20, 3.0, 15.0, 2.5)
    assert limiting.rated_factor_needed(operating, 3.0, 15.0, 2.5) == pytest.approx(20.0)


@pytest.mark.parametrize(("factor", "standard"), [(4.0, 5.0), (20.0, 20.0), (20.1, 30.0), (31.0, None)])
def test_the_next_standard_factor_is_chosen(factor: float, standard: float | None) -> None:
    assert limiting.standard_factor_at_least(factor) == standard


def test_tpz_permits_more_exciting_current_than_tpy() -> None:
    permitted_a = limiting.peak_exciting_current_tpz_a(20, 6.0, 1.0, ts_s=0.06, f_hz=50.0)
    expected_a = math.sqrt(2.0) * 20 * (5.0 / (2.0 * math.pi * 50.0 * 0.06) + 0.1)
    assert permitted_a == pytest.approx(expected_a)


@pytest.mark.parametrize(
    ("function", "arguments", "reason"),
    [
        (limiting.emf_v, (0.0, 1.0, 5.0, 15.0), "limit factor"),
        (limiting.emf_v, (20, 0.0, 5.0, 15.0), "rated secondary current"),
        (limiting.emf_v, (20, 1.0, -5.0, 15.0), "winding resistance"),
        (limiting.emf_v, (20, 1.0, 5.0, -15.0), "burden"),
        (limiting.emf_v, (20, 1.0, 0.0, 0.0), "no impedance"),
        (limiting.emf_v, (20, 1.0, np.ones(2), np.ones(3)), "same shape"),
        (limiting.emf_arithmetic_v, (20, 1.0, 0.0, 0.0), "no impedance"),
        (limiting.operating_factor_from_plate, (20, 0.0, 15.0, 0.0), "no impedance"),
        (limiting.rated_factor_needed, (0.0, 3.0, 15.0, 2.5), "limit factor wanted"),
        (limiting.standard_factor_at_least, (0.0,), "limit factor"),
        (limiting.exciting_current_limit_a, (20, 5.0, 0.0), "composite error"),
        (limiting.factor_at_current, (30, 1500, 0.0), "reference current"),
        (limiting.knee_from_dimensioning_v, (30, 1.0, 4.0, -6.0), "burden"),
        (limiting.emf_transient_v, (20, 0.0, 1.0, 5.0, 10.0), "Ktd"),
        (limiting.peak_exciting_current_a, (0.0, 1.0), "Kssc"),
        (limiting.composite_error_percent, (None, 20, 1.0, 5.0, 15.0), "curve"),
        (limiting.operating_factor, ([1.0], 1.0, 5.0, 15.0, 5.0), "curve"),
    ],
)
def test_impossible_values_are_refused(function: object, arguments: tuple[object, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        function(*arguments)


def test_a_transient_factor_below_one_is_refused() -> None:
    with pytest.raises(BadInput, match="1 or more"):
        limiting.peak_exciting_current_tpz_a(20, 0.9, 1.0, ts_s=0.06)
