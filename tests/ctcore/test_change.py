"""Two tests of one thing: what counts as a change, by the E_n number of ISO/IEC 17043 (from memory)."""

from __future__ import annotations

import math

import pytest
from GTC import uncertainty, ureal, value
from hypothesis import given
from hypothesis import strategies as st

from ctcore.change import change
from ctcore.errors import BadInput

NUMBERS = st.floats(-1e6, 1e6)
EXPANDED = st.floats(1e-3, 1e3)


@given(NUMBERS, NUMBERS, EXPANDED, EXPANDED)
def test_the_spread_is_that_of_a_difference_by_an_independent_library(
    earlier: float, later: float, u_earlier: float, u_later: float
) -> None:
    moved = ureal(later, u_later / 2.0) - ureal(earlier, u_earlier / 2.0)

    found = change(earlier, later, u_earlier=u_earlier, u_later=u_later)
    assert found.en_ratio == pytest.approx(value(moved) / (2.0 * uncertainty(moved)), rel=1e-9, abs=1e-9)


def test_a_change_as_large_as_its_uncertainty_is_not_shown_yet() -> None:
    assert change(0.0, 5.0, u_earlier=3.0, u_later=4.0).answer == "no change shown"
    assert change(0.0, math.nextafter(5.0, 6.0), u_earlier=3.0, u_later=4.0).answer == "changed"


def test_a_fall_counts_as_a_rise_does() -> None:
    up, down = change(2.0, 3.0, u_earlier=0.1, u_later=0.1), change(3.0, 2.0, u_earlier=0.1, u_later=0.1)
    assert up.answer == down.answer == "changed"
    assert up.en_ratio == -(down.en_ratio or 0.0)


@pytest.mark.parametrize("known", [{}, {"u_earlier": 0.1}, {"u_later": 0.1}])
def test_without_both_uncertainties_nothing_can_be_told(known: dict[str, float]) -> None:
    assert change(2.0, 3.0, **known).answer == "cannot tell"


def test_values_without_uncertainty_at_all_are_alike_only_where_they_are_equal() -> None:
    assert change(2.0, 2.0, u_earlier=0.0, u_later=0.0).answer == "no change shown"
    assert change(2.0, 2.1, u_earlier=0.0, u_later=0.0).answer == "cannot tell"


def test_percent_is_of_the_earlier_value_and_none_of_zero() -> None:
    assert change(-2.0, -3.0).percent == -50.0
    assert change(0.0, 1.0).percent is None


@pytest.mark.parametrize("given_values", [(math.nan, 1.0), (1.0, math.inf)])
def test_what_is_no_number_is_refused(given_values: tuple[float, float]) -> None:
    with pytest.raises(BadInput):
        change(*given_values)


def test_an_uncertainty_below_zero_is_refused() -> None:
    with pytest.raises(BadInput, match="expanded uncertainty"):
        change(1.0, 2.0, u_earlier=-0.1, u_later=0.1)
