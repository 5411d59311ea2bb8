"""Temperature correction: inverse, scaling, edges."""

from __future__ import annotations

import numpy as np
import pytest

from ctcore import temperature
from ctcore.errors import BadInput
from ctcore.standards.rows import TAGS


def test_correction_there_and_back_gives_the_reading_again() -> None:
    there = temperature.resistance_ohm(2.0, 15.0, 75.0)
    assert temperature.resistance_ohm(there, 75.0, 15.0) == pytest.approx(2.0, rel=1e-14)


def test_no_change_of_temperature_changes_nothing() -> None:
    assert temperature.resistance_ohm(2.0, 75.0) == 2.0


def test_one_kelvin_is_near_four_tenths_of_a_percent() -> None:
    assert temperature.sensitivity_percent_per_k(20.0) == pytest.approx(-0.393, abs=5e-4)


def test_arrays_are_corrected_element_by_element() -> None:
    corrected = temperature.resistance_ohm(np.array([1.0, 2.0]), 20.0)
    assert corrected == pytest.approx([1.216110, 2.432220], abs=1e-6)


@pytest.mark.parametrize("row", temperature.CONDUCTORS, ids=lambda row: row.name)
def test_every_conductor_names_its_source(row: temperature.Conductor) -> None:
    assert row.source
    assert row.tag in TAGS


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ((0.0, 20.0), "winding resistance"),
        ((-1.0, 20.0), "winding resistance"),
        ((1.0, -234.5), "ends at -234.5"),
        ((1.0, 20.0, -300.0), "ends at -234.5"),
        ((1.0, 20.0, 75.0, "silver"), "silver"),
        ((np.ones(2), np.ones(3)), "same shape"),
    ],
)
def test_impossible_values_are_refused(arguments: tuple[object, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        temperature.resistance_ohm(*arguments)
