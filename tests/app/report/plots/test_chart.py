"""Small plots: scales, limits with teeth on the forbidden side, what they show, no word on another."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path
from typing import Any

import pytest

from app.report.content import sheet_of
from app.report.core_page.charts import charts
from app.report.pen import Pen
from app.report.plots.chart import HEIGHT, Axis, Chart, Limit, Line
from app.report.sheet import render
from ctcore.figures import UNIT_GAP
from ctcore.job import Job, from_plain
from samples import sample
from tests.app.report.making import draft, reading, set_of, tap
from tests.app.report.reading_back import overlapping, words_of

PERCENT = Axis("percent", "% of rated current", is_log=True)
ERROR = Axis("percent", "%")


def _job(name: str) -> Job:
    return from_plain(json.loads(sample(name).file.read_text("utf-8")))


class Recorder(Pen):
    """A pen that remembers middles of circles and ends of thin lines, upwards on the page."""

    def __init__(self) -> None:
        super().__init__(260.0, 200.0)
        self.circles: list[tuple[float, float]] = []
        self.teeth: list[float] = []

    def disc(self, x: float, y: float, radius: float, **how: Any) -> None:
        self.circles.append((x, -y))
        super().disc(x, y, radius, **how)

    def line(self, x1: float, y1: float, x2: float, y2: float, **how: Any) -> None:
        if how.get("width") == 0.6:
            self.teeth.append(y1 - y2)
        super().line(x1, y1, x2, y2, **how)


def _drawn(chart: Chart) -> Recorder:
    """The pen after nothing but the chart was drawn; the first circle is that of the key."""
    pen = Recorder()
    chart.draw(pen, 10.0, 10.0, 240.0)
    return pen


LINE = Line("L1", 0, ((1.0, -0.5), (10.0, 0.0), (100.0, 0.5)))


def test_equal_ratios_are_equal_lengths_on_a_logarithmic_axis() -> None:
    first, second, third = _drawn(Chart("t", PERCENT, ERROR, [LINE])).circles[1:]
    assert second[0] - first[0] == pytest.approx(third[0] - second[0], abs=0.01)
    assert second[1] - first[1] == pytest.approx(third[1] - second[1], abs=0.01)


def test_a_plane_of_impedances_has_one_scale_both_ways() -> None:
    ohm = Axis("ohm", "R")
    line = Line("L1", 0, ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0)))
    chart = Chart("t", ohm, ohm, [line], from_zero=True, square=True)
    origin, along, corner = _drawn(chart).circles[1:]
    assert along[0] - origin[0] == pytest.approx(corner[1] - along[1], abs=0.01)


@pytest.mark.parametrize(("above", "way"), [(True, 1.0), (False, -1.0)])
def test_teeth_stand_on_the_side_that_is_not_allowed(above: bool, way: float) -> None:
    edge = Limit(((1.0, 0.0), (100.0, 0.0)), above=above)
    teeth = _drawn(Chart("t", PERCENT, ERROR, [LINE], limits=[edge])).teeth
    assert [round(tooth * way, 6) for tooth in teeth] == [4.0] * len(teeth)
    assert len(teeth) > 8


def test_a_limit_far_away_leaves_the_readings_in_the_frame() -> None:
    edge = Limit(((1.0, 40.0), (100.0, 20.0)), above=True)
    circles = _drawn(Chart("t", PERCENT, ERROR, [LINE], limits=[edge])).circles
    assert [height for _, height in circles if not -10.0 - HEIGHT < height < -10.0] == []


def _sheet_of(job: Job) -> list[Chart]:
    sheet = sheet_of(draft(job))
    return [
        block
        for core_set in sheet.outline.sets
        for row in charts(sheet, core_set)
        for block in getattr(row, "columns", ())
        if isinstance(block, Chart)
    ]


def test_resistance_is_drawn_over_turns_as_the_record_has_it() -> None:
    job = set_of(("L1",), taps=(tap("S1-S2", 300.0), tap("S1-S3", 600.0)))
    method = {"leads": "four_wire", "t_winding_degc": "75", "t_winding_source": "surface_probe"}
    keyed = [reading("L1", "resistance", "method", name, text) for name, text in method.items()]
    keyed += [
        reading("L1", "resistance", row, "r_measured_ohm", ohm)
        for row, ohm in (("S1-S2", "1.0"), ("S1-S3", "2.0"))
    ]
    (chart,) = _sheet_of(dataclasses.replace(job, readings=(*job.readings, *keyed)))
    assert chart.title == "Resistance at 75 °C over turns"
    assert [point for line in chart.lines for point in line.points] == [
        (300.0, pytest.approx(1.0)),
        (600.0, pytest.approx(2.0)),
    ]
    assert [limit.points[1] for limit in chart.limits] == [(600.0, 3.0)]


def test_a_single_tap_has_no_line_to_show() -> None:
    assert _sheet_of(set_of(("L1", "L2", "L3"))) == []


def test_errors_stand_inside_the_limits_of_the_class() -> None:
    """Limits of class 0.5S: IEC 61869-2, Table 202 (from memory): 1.5 % at 1 %, 0.5 % from 20 % on."""
    found = {chart.title.replace(UNIT_GAP, " "): chart for chart in _sheet_of(_job("line_bay"))}
    chart = found["Ratio error, 2S1-2S3, 10 VA"]
    assert [(limit.above, limit.points[0], limit.points[-1]) for limit in chart.limits] == [
        (False, (1.0, -1.5), (120.0, -0.5)),
        (True, (1.0, 1.5), (120.0, 0.5)),
    ]
    assert [len(line.points) for line in chart.lines] == [5, 5, 5]
    assert "Phase displacement, 2S1-2S3, 10 VA" in found


def test_the_burden_is_a_triangle_below_the_rated_arc() -> None:
    """A core of 15 VA at 1 A is rated for 15 ohm: S = I² Z."""
    chart = next(one for one in _sheet_of(_job("clean_bay")) if one.title.startswith("Connected burden"))
    corners = chart.lines[0].points
    assert corners[0] == corners[-1] == (0.0, 0.0)
    assert corners[1] == (corners[2][0], 0.0)
    assert [limit.points[-1][0] for limit in chart.limits if limit.above] == [pytest.approx(15.0)]


@pytest.mark.parametrize("name", ["line_bay", "clean_bay", "ring_bus_multi_ratio"])
def test_no_word_of_a_plot_lies_on_another_and_nothing_is_a_picture(name: str, tmp_path: Path) -> None:
    pdf = render(draft(_job(name)))
    assert overlapping(words_of(pdf, tmp_path)) == []
    assert b"/Subtype /Image" not in pdf
