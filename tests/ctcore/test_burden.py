"""Burdens: inverse, edges, what is refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ctcore import burden
from ctcore.errors import BadInput


@given(st.floats(0.1, 500.0), st.sampled_from([1.0, 2.0, 5.0]), st.floats(0.01, 1.0))
def test_rating_and_output_are_inverse(output_va: float, current_a: float, power_factor: float) -> None:
    z_ohm = burden.from_rating(output_va, current_a, power_factor)
    assert burden.output_va(z_ohm, current_a) == pytest.approx(output_va, rel=1e-12)
    assert z_ohm.real == pytest.approx(power_factor * abs(z_ohm), rel=1e-12)


def test_a_lagging_burden_is_inductive() -> None:
    assert burden.from_rating(15.0, 1.0, 0.8) == pytest.approx(12 + 9j)


def test_ratings_may_be_an_array() -> None:
    z_ohm = burden.from_rating(np.array([25.0, 50.0]), 5.0, 1.0)
    assert burden.output_va(z_ohm, 5.0) == pytest.approx([25.0, 50.0])


def test_a_leading_voltage_gives_a_positive_reactance() -> None:
    measured = burden.from_measurement(5.0, 5.0, 60.0, i_secondary_rated_a=1.0)
    assert measured.z_ohm == pytest.approx(0.5 + 0.8660254j)
    assert measured.output_va == pytest.approx(1.0)


def test_the_power_of_a_burden_is_that_of_its_resistance() -> None:
    assert burden.resistive_part_va(0.6 + 0.8j, 5.0) == 15.0


@pytest.mark.parametrize(
    ("function", "arguments", "reason"),
    [
        (burden.from_rating, (0.0, 5.0, 0.8), "rated output"),
        (burden.from_rating, (15.0, 0.0, 0.8), "rated secondary current"),
        (burden.from_rating, (15.0, 5.0, 0.0), "power factor"),
        (burden.from_rating, (15.0, 5.0, 1.01), "power factor"),
        (burden.output_va, (-1.0, 5.0), "burden"),
        (burden.output_at_current_va, (2.0, 0.0, 5.0), "known output"),
        (burden.output_with_leads_va, (10.0, -0.1, 5.0), "leads"),
        (burden.resistive_part_va, (1.0, 0.0), "rated secondary current"),
    ],
)
def test_impossible_values_are_refused(function: object, arguments: tuple[object, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        function(*arguments)


@pytest.mark.parametrize("angle_deg", [-91.0, 90.1, float("nan")])
def test_an_angle_beyond_a_quarter_turn_is_refused(angle_deg: float) -> None:
    with pytest.raises(BadInput, match="angle"):
        burden.from_measurement(5.0, 5.0, angle_deg, i_secondary_rated_a=5.0)
