"""Pairs of leads and voltages between them."""

from __future__ import annotations

import pytest

from ctcore import taps
from ctcore.errors import BadInput


def test_five_leads_give_ten_pairs() -> None:
    assert len(taps.pairs_from_sections((40, 20, 100, 80))) == 10


def test_one_ratio_on_two_pairs_stays_two_pairs() -> None:
    """2000:5 has 800 A on X2-X3 and on X3-X5."""
    pairs = taps.pairs_from_sections((80, 160, 60, 100))
    assert [pair.name for pair in pairs if pair.i_primary_rated_a == 800] == ["X2-X3", "X3-X5"]


def test_rated_current_follows_the_rated_secondary_current() -> None:
    (pair,) = taps.pairs_from_sections((600,), i_secondary_rated_a=1.0, lead_letter="S")
    assert (pair.name, pair.i_primary_rated_a) == ("S1-S2", 600.0)


def test_a_hundred_volts_on_twenty_turns_of_240_are_1200_on_the_whole() -> None:
    assert taps.full_winding_voltage_v(100.0, 20, 240) == 1200.0


def test_voltage_on_the_primary_is_that_of_its_turns() -> None:
    assert taps.primary_voltage_v(1200.0, 2, 240) == 10.0


@pytest.mark.parametrize(
    ("function", "arguments", "reason"),
    [
        (taps.pairs_from_sections, ((),), "at least one section"),
        (taps.pairs_from_sections, ((10, 0),), "turns of a section"),
        (taps.section_voltages_v, (0.0, (10, 20)), "voltage on the whole winding"),
        (taps.full_winding_voltage_v, (100.0, 300, 240), "at most the turns"),
        (taps.class_voltage_of_tap_v, (400.0, 0, 240), "turns of the part"),
        (taps.primary_voltage_v, (100.0, 1, 0), "excited turns"),
    ],
)
def test_impossible_values_are_refused(function: object, arguments: tuple[object, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        function(*arguments)
