"""Wire and loops: scaling, edges."""

from __future__ import annotations

import pytest

from ctcore import wire
from ctcore.errors import BadInput
from ctcore.standards.rows import TAGS


@pytest.mark.parametrize("row", wire.METRIC_WIRES, ids=lambda row: f"{row.area_mm2:g}")
def test_every_cross_section_names_its_source(row: wire.MetricWire) -> None:
    assert row.source
    assert row.tag in TAGS


def test_three_gauges_less_double_the_cross_section_nearly() -> None:
    assert wire.awg_ohm_per_km(13) / wire.awg_ohm_per_km(10) == pytest.approx(2.0, rel=0.01)


def test_one_way_is_half_of_there_and_back() -> None:
    there_and_back = wire.loop_resistance_ohm(7.41, 50.0)
    assert wire.loop_resistance_ohm(7.41, 50.0, loop="one_way") == there_and_back / 2.0


@pytest.mark.parametrize(
    ("function", "arguments", "reason"),
    [
        (wire.metric_ohm_per_km, (3.0,), "cross-section"),
        (wire.awg_diameter_m, (41,), "wire gauge"),
        (wire.awg_ohm_per_km, (-4,), "wire gauge"),
        (wire.loop_resistance_ohm, (7.41, 0.0), "length one way"),
        (wire.loop_resistance_ohm, (0.0, 50.0), "per kilometre"),
    ],
)
def test_impossible_values_are_refused(function: object, arguments: tuple[object, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        function(*arguments)


def test_an_unknown_loop_is_refused() -> None:
    with pytest.raises(BadInput, match="there_and_back or one_way"):
        wire.loop_resistance_ohm(7.41, 50.0, loop="twice")
