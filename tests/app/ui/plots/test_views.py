from __future__ import annotations

import dataclasses
import math
import subprocess
import sys

import pytest
from PySide6.QtCore import QPointF, Qt

from app.ui import theme
from app.ui.plots import layers
from app.ui.plots.axes import Axis
from app.ui.plots.chart import ChartContent, LimitLine, Series
from app.ui.plots.limits import LimitRow, LimitRows, Spot
from app.ui.texts import text

PERCENT = Axis(unit="percent", words="%", is_log=False)


@pytest.fixture
def chart(qtbot):
    from app.ui.plots.chart import Chart

    content = ChartContent(
        title="Errors",
        axis_x=PERCENT,
        axis_y=PERCENT,
        series=(
            Series(words="L1", phase_index=0, x=(5.0, 100.0), y=(-0.4, 0.1), rows=("a", "b"), in_hand=True),
        ),
        limits=(LimitLine((5.0, 100.0), (1.5, 0.5), above=True),),
    )
    made = Chart(content)
    qtbot.addWidget(made)
    made.resize(600, 320)
    made.show()
    made.grab()
    return made


def test_a_chart_holds_its_points_and_limits(chart):
    assert [chart.paper.holds(x, y) for x, y in ((5.0, -0.4), (100.0, 0.1), (5.0, 1.5))] == [True] * 3


def test_equal_steps_are_equally_long(chart):
    low, middle, high = (chart.paper.at(value, 0.0).x() for value in (0.0, 50.0, 100.0))
    assert high - middle == pytest.approx(middle - low)


def test_a_touch_on_a_point_of_a_chart_tells_its_row(chart, qtbot):
    with qtbot.waitSignal(chart.picked) as told:
        qtbot.mouseClick(chart, Qt.MouseButton.LeftButton, pos=chart.paper.at(100.0, 0.1).toPoint())
    assert told.args == ["b"]


def test_a_chart_is_drawn_once_for_each_content(chart):
    before = chart.paper.getPlotItem().listDataItems()
    chart.show_content(dataclasses.replace(chart.content))
    assert before != []
    assert chart.paper.getPlotItem().listDataItems() == before


def test_another_theme_recolours_a_chart(chart, qapp):
    by_day = chart.grab().toImage()
    theme.apply(qapp, "night")
    assert chart.grab().toImage() != by_day


def test_a_larger_chart_has_a_larger_paper(chart):
    before = chart.paper.at(100.0, 0.1).x() - chart.paper.at(5.0, 0.1).x()
    chart.resize(1200, 320)
    assert chart.paper.at(100.0, 0.1).x() - chart.paper.at(5.0, 0.1).x() > 1.8 * before


def test_what_equal_decades_cannot_show_is_left_out_and_counted(chart):
    bad = Series(words="L1", phase_index=0, x=(0.0, -1.0, 5.0, 50.0), y=(1.0, 1.0, math.nan, 2.0),
                 rows=("a", "b", "c", "d"), in_hand=True)  # fmt: skip
    by_decades = dataclasses.replace(PERCENT, is_log=True)
    chart.show_content(dataclasses.replace(chart.content, series=(bad,), axis_x=by_decades))
    chart.grab()
    assert chart.row_at(chart.paper.at(50.0, 2.0)) == "d"
    assert chart.accessibleDescription() == "L1: 1; " + text("plot.left_out", count=3)


def test_a_chart_with_nothing_that_can_be_shown_says_its_words(chart):
    bad = Series(words="L1", phase_index=0, x=(math.nan,), y=(1.0,))
    chart.show_content(dataclasses.replace(chart.content, series=(bad,), empty_words="No readings yet."))
    chart.grab()
    assert (chart.paper.isVisible(), chart.accessibleDescription()) == (
        False, "No readings yet.; " + text("plot.left_out", count=1),
    )  # fmt: skip


def test_the_plotting_library_waits_for_the_first_chart():
    program = (
        "import sys; import app.ui.worksheet.page; import app.ui.plots.excitation;"
        "sys.exit('pyqtgraph' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0


def test_without_readings_a_chart_says_what_comes_first(qtbot):
    from app.ui.plots.chart import Chart

    made = Chart(ChartContent(title="Errors", axis_x=PERCENT, axis_y=PERCENT, empty_words="No readings yet."))
    qtbot.addWidget(made)
    made.grab()
    assert made.accessibleDescription() == "No readings yet."


def _row(**given) -> LimitRow:
    return LimitRow(**{"words": "a", "shown": "1", "spots": (), **given})


def test_a_value_between_two_limits_lies_between_the_brackets():
    row = _row(low=-5.0, high=5.0)
    assert row.share(-5.0) < row.share(0.0) < row.share(5.0)
    assert [row.side(value) for value in (-5.0, 5.0, 5.1)] == ["between", "between", "beyond"]


def test_a_value_under_its_least_lies_left_of_the_bracket():
    row = _row(low=1e6, is_log=True)
    assert row.share(0.5e6) < row.share(1e6) < row.share(5e6)


def test_a_value_far_off_stays_on_the_line():
    assert [_row(low=1e6, is_log=True).share(value) for value in (1e-3, 1e30)] == [0.02, 0.98]


def test_equal_decades_are_equally_long_on_a_line_of_insulation():
    row = _row(low=1e6, is_log=True)
    assert row.share(1e7) - row.share(1e6) == pytest.approx(row.share(1e8) - row.share(1e7))


def test_a_touch_on_a_line_tells_its_row(qtbot):
    from app.ui.plots.limits import LimitLines

    rows = tuple(_row(row=name, high=2.0, spots=(Spot(0, 1.0, True),)) for name in ("first", "second"))
    made = LimitLines(LimitRows(title="Value against limit", rows=rows))
    qtbot.addWidget(made)
    made.resize(400, 300)
    made.grab()
    assert (made.row_at(QPointF(50, 40)), made.row_at(QPointF(50, 100))) == ("first", "second")


def _grabbed(chart, **changes) -> None:
    chart.show_content(dataclasses.replace(chart.content, **changes))
    chart.grab()


def test_square_paper_has_steps_of_equal_size_both_ways(chart):
    tall = Series(words="L1", phase_index=0, x=(0.0, 1.0), y=(0.0, 5.0), in_hand=True)
    _grabbed(chart, series=(tall,), limits=(), square=True, from_zero=True)
    origin, right, up = (chart.paper.at(*place) for place in ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))
    assert right.x() - origin.x() == pytest.approx(origin.y() - up.y(), rel=0.02)
    assert [chart.paper.holds(*place) for place in ((0.0, 0.0), (1.0, 5.0))] == [True, True]


def test_square_paper_stays_square_at_another_size(chart):
    _grabbed(chart, square=True)
    chart.resize(420, 500)
    chart.grab()
    origin, right, up = (chart.paper.at(*place) for place in ((0.0, 0.0), (10.0, 0.0), (0.0, 10.0)))
    assert right.x() - origin.x() == pytest.approx(origin.y() - up.y(), rel=0.02)


def test_the_row_in_hand_has_a_ring_on_its_points(chart):
    before = chart.grab().toImage()
    chart.show_row("b")
    ringed = chart.grab().toImage()
    chart.show_row("")
    assert ringed != before
    assert chart.grab().toImage() == before


def test_a_long_legend_goes_on_in_another_line(chart):
    many = tuple(
        Series(words=f"a circuit with a long name {index}", phase_index=-index, x=(1.0,), y=(1.0,))
        for index in range(1, 7)
    )
    one = chart.paper.y()
    _grabbed(chart, series=many)
    assert chart.paper.y() > one


def test_what_is_no_phase_has_nine_looks(qapp):
    looks = {
        (tuple(layers.phase_pen(-1 - k, 2.0).dashPattern()), layers.SYMBOLS.index(layers.symbol_of(-1 - k)))
        for k in range(9)
    }
    assert len(looks) == 9
