"""The excitation plot: the detail never hides a reading."""

from __future__ import annotations

import pytest

from app.report.core_page.points import current_at
from app.report.plots.excitation import ExcitationPlot, KneeMark, Series

POINTS = tuple(
    (0.02 * (volts / 300.0) ** 0.7 + 0.01 * (volts / 320.0) ** 14, volts)
    for volts in (20.0, 40.0, 80.0, 120.0, 160.0, 200.0, 240.0, 280.0, 300.0, 320.0, 340.0, 360.0)
)
KNEES = (KneeMark("iec", 296.0, 0.0234), KneeMark("tangent45", 266.0, 0.0191))


def _plot(*, limit: tuple[float, float] | None = None) -> ExcitationPlot:
    return ExcitationPlot([Series("L1", 0, POINTS, KNEES)], limit=limit, high=236.0)


@pytest.mark.parametrize("width", [220.0, 300.0, 500.0])
def test_the_detail_lies_where_no_reading_is(width: float) -> None:
    main, inset = _plot()._windows(24.0, 2.0, width, 220.0)
    assert inset is not None
    hidden = [
        point
        for point in POINTS
        if main.at(*point)[0] > inset.x - 27.0 and main.at(*point)[1] > inset.y - 13.0
    ]
    assert hidden == []


def test_the_detail_is_a_whole_number_of_times_as_large() -> None:
    main, inset = _plot()._windows(24.0, 2.0, 300.0, 220.0)
    assert inset is not None
    assert round(inset.decade / main.decade, 9) in (2.0, 3.0, 4.0)


def test_every_knee_lies_in_the_detail() -> None:
    _, inset = _plot()._windows(24.0, 2.0, 300.0, 220.0)
    assert inset is not None
    places = [inset.at(knee.current_a, knee.voltage_v) for knee in KNEES]
    assert [
        1
        for x, y in places
        if not (inset.x < x < inset.x + inset.width and inset.y < y < inset.y + inset.height)
    ] == []


def test_a_curve_without_knees_has_no_detail() -> None:
    plot = ExcitationPlot([Series("L1", 0, POINTS)], limit=None, high=236.0)
    assert plot._windows(24.0, 2.0, 300.0, 220.0)[1] is None


def test_the_plate_limit_lies_in_the_plot() -> None:
    main, _ = _plot(limit=(0.06, 250.0))._windows(24.0, 2.0, 300.0, 220.0)
    x, y = main.at(0.06, 250.0)
    assert 24.0 < x < 324.0
    assert 2.0 < y < 222.0


def test_a_voltage_beyond_the_readings_has_no_place() -> None:
    assert current_at(POINTS, 500.0) is None
