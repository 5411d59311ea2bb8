"""Ratio errors and correction factors: signs, inverse, edges."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ctcore import ratio
from ctcore.errors import BadInput


def test_a_secondary_that_reads_low_has_a_negative_error() -> None:
    assert ratio.ratio_error_percent(120.0, 600.0, 4.9) == pytest.approx(-2.0)


def test_fewer_secondary_turns_are_positive_in_the_sense_of_iec() -> None:
    assert ratio.turns_ratio_error_percent(599.0, 600.0) > 0.0 > ratio.turns_ratio_error_percent(601.0, 600.0)


def test_arrays_of_readings_give_arrays_of_errors() -> None:
    errors = ratio.turns_ratio_error_percent(np.array([500.0, 600.0]), 600.0)
    assert errors == pytest.approx([20.0, 0.0])


@given(st.floats(-50.0, 50.0))
def test_ratio_error_and_correction_factor_are_inverse(error_percent: float) -> None:
    factor = ratio.rcf_from_ratio_error(error_percent)
    assert ratio.ratio_error_from_rcf(factor) == pytest.approx(error_percent, abs=1e-12)


def test_a_leading_secondary_lowers_the_transformer_correction_factor() -> None:
    assert ratio.tcf(1.0, 10.0) < 1.0 < ratio.tcf(1.0, -10.0)


def test_the_rounded_slope_stays_within_a_hundredth_of_the_exact_one() -> None:
    shift_rounded = 1.0 - ratio.tcf(1.0, 10.0)
    shift_exact = 1.0 - ratio.tcf_exact(1.0, 10.0)
    assert shift_rounded == pytest.approx(shift_exact, rel=0.01)


def test_exact_correction_takes_arrays() -> None:
    assert ratio.tcf_exact(np.array([1.0, 1.002]), 0.0) == pytest.approx([1.0, 1.002])


def test_composite_error_of_pure_phase_is_its_centiradians() -> None:
    assert ratio.composite_error_from_errors_percent(0.0, ratio.arcmin_from_crad(1.0)) == pytest.approx(
        1.0, rel=1e-4
    )


def test_composite_error_takes_arrays() -> None:
    assert ratio.composite_error_from_errors_percent([3.0, -3.0], 0.0) == pytest.approx([3.0, 3.0])


@pytest.mark.parametrize(
    ("function", "arguments", "reason"),
    [
        (ratio.ratio_error_percent, (120, 0.0, 5.0), "primary current"),
        (ratio.turns_ratio_error_percent, (0.0, 600.0), "measured turns ratio"),
        (ratio.turns_ratio_error_percent, (np.ones(2), np.ones(3)), "same shape"),
        (ratio.turns_ratio_from_voltages, (100.0, 0.0), "primary voltage"),
        (ratio.tcf, (-1.0, 0.0), "RCF"),
        (ratio.tcf, (1.0, float("nan")), "phase displacement"),
        (ratio.tcf_exact, (1.0, 0.0, 1.5), "power factor"),
        (ratio.tcf_exact, (1.0, -5400.0), "metered power"),
        (ratio.rcf_from_ratio_error, (-100.0,), "-100 %"),
        (ratio.ratio_error_from_rcf, (0.0,), "RCF"),
        (ratio.compared_with_standard, (None, 0.0), "reading"),
    ],
)
def test_impossible_values_are_refused(function: object, arguments: tuple[object, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        function(*arguments)
