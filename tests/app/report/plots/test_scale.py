"""Square decades and their ticks."""

from __future__ import annotations

import pytest

from app.report.plots.scale import fitted, ticks_125, ticks_even

POINTS = [(0.003, 20.0), (0.02, 250.0), (0.1, 340.0)]


def test_a_decade_is_as_long_up_as_across() -> None:
    window = fitted(POINTS, x=10.0, y=20.0, width=300.0, height=220.0)
    x1, y1 = window.at(0.01, 100.0)
    x2, y2 = window.at(0.1, 1000.0)
    assert x2 - x1 == pytest.approx(y1 - y2)


def test_every_point_lies_in_the_window() -> None:
    window = fitted(POINTS, x=10.0, y=20.0, width=300.0, height=220.0)
    places = [window.at(*point) for point in POINTS]
    assert [1 for x, y in places if not (10.0 <= x <= 310.0 and 20.0 <= y <= 240.0)] == []


def test_ticks_stand_at_one_two_five() -> None:
    assert ticks_125(-3.0, -1.0) == [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1]


@pytest.mark.parametrize(("low", "high"), [(2.3, 2.7), (-1.8, -1.3), (0.0, 0.05)])
def test_even_ticks_are_few_and_inside(low: float, high: float) -> None:
    ticks = ticks_even(low, high, at_most=5)
    assert 1 <= len(ticks) <= 6
    assert [tick for tick in ticks if not 10.0**low <= tick <= 10.0**high] == []
