from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app.ui.plots.content import CurveLine, DutyPoint, KneeMark, Pairs, PlotContent

VOLTS, AMPERES = (20.0, 80.0, 160.0, 250.0), (0.0034, 0.0091, 0.0144, 0.020)
KNEE = KneeMark("iec", 276.0, 0.023, 2.0)


def _curve(kind: str = "hand", **changes) -> CurveLine:
    given = {"key": kind, "kind": kind, "words": "L1", "phase_text": "L1", "phase_index": 0,
             "points": Pairs(VOLTS, AMPERES), "line": Pairs(VOLTS, AMPERES)}  # fmt: skip
    return CurveLine(**{**given, **changes})


@pytest.fixture
def plot(qtbot):
    from app.ui.plots.excitation import ExcitationPlot

    made = ExcitationPlot()
    qtbot.addWidget(made)
    made.resize(642, 366)
    made.show()
    return made


def test_a_volt_decade_is_as_long_as_an_ampere_decade(plot):
    plot.show_content(PlotContent(curves=(_curve(),)))
    wide, tall = plot.paper.area_px()
    assert wide / plot.paper.x.decades == pytest.approx(tall / plot.paper.y.decades)


def test_the_detail_is_four_times_as_large(plot):
    plot.show_content(PlotContent(curves=(_curve(knees=(KNEE,)),)))
    whole = plot.paper.area_px()[0] / plot.paper.x.decades
    near = plot.near.area_px()[0] / plot.near.x.decades
    assert near / whole == pytest.approx(4.0)


def test_what_stays_while_one_types_is_not_drawn_again(plot):
    sister = _curve("sister", phase_index=1)
    plot.show_content(PlotContent(curves=(sister, _curve())))
    plot.grab()
    before = plot._backs["main"][1].cacheKey()
    near = tuple(current * 1.001 for current in AMPERES)
    plot.show_content(PlotContent(curves=(sister, _curve(points=Pairs(VOLTS, near)))))
    plot.grab()
    assert plot._backs["main"][1].cacheKey() == before


def test_a_sister_that_changes_is_drawn_again(plot):
    plot.show_content(PlotContent(curves=(_curve("sister"), _curve())))
    plot.grab()
    before = plot._backs["main"][1].cacheKey()
    plot.show_content(PlotContent(curves=(_curve("sister", line=Pairs(VOLTS[:2], AMPERES[:2])), _curve())))
    plot.grab()
    assert plot._backs["main"][1].cacheKey() != before


def test_a_decade_on_either_axis_takes_a_value_its_own_way(plot):
    plot.show_content(PlotContent(curves=(_curve(),)))
    place, further = plot.paper.at(0.002, 20.0), plot.paper.at(0.02, 200.0)
    assert further.x() - place.x() == pytest.approx(place.y() - further.y())


def test_the_point_being_keyed_is_ringed_and_let_go(plot):
    plot.show_content(PlotContent(curves=(_curve(),)))
    plain = plot.grab().toImage()
    plot.show_keyed((280.1, 0.0309))
    ringed = plot.grab().toImage()
    plot.show_keyed(None)
    assert (ringed == plain, plot.grab().toImage() == plain) == (False, True)


def test_a_point_at_zero_is_not_ringed(plot):
    plot.show_keyed((0.0, 0.01))
    assert plot.keyed is None


def test_a_touch_on_a_point_tells_its_row(plot, qtbot):
    plot.show_content(PlotContent(curves=(_curve(points=Pairs(VOLTS, AMPERES, ("1", "2", "3", "4"))),)))
    place = plot.paper.at(AMPERES[1], VOLTS[1]).toPoint()
    with qtbot.waitSignal(plot.picked) as told:
        qtbot.mouseClick(plot, Qt.MouseButton.LeftButton, pos=place)
    assert told.args == ["2"]


def test_a_touch_beside_every_point_tells_nothing(plot, qtbot):
    plot.show_content(PlotContent(curves=(_curve(points=Pairs(VOLTS, AMPERES, ("1", "2", "3", "4"))),)))
    assert plot.row_at(plot.paper.at(AMPERES[0], VOLTS[2])) == ""


def test_the_knee_table_has_a_dash_where_the_readings_do_not_reach(plot):
    plot.show_content(PlotContent(curves=(_curve(knees=(KNEE,)),)))
    assert plot.knees.rows() == [
        ["Knee, V", "L1", "±"], ["10/50", "276", "2"], ["30°", "–", "–"], ["45°", "–", "–"],
    ]  # fmt: skip


def test_a_screen_reader_hears_curves_and_knees(plot):
    plot.show_content(PlotContent(curves=(_curve(knees=(KNEE,)),)))
    assert plot.accessibleDescription() == "L1: 4 points, knee 10/50 at 276.0\u00a0V"


def test_an_empty_plot_says_how_it_begins(plot):
    plot.show_content(PlotContent())
    assert plot.accessibleDescription() == "The curve starts with the second row."


def test_phases_differ_by_line_and_marker_not_by_colour_alone():
    from app.ui.plots import layers

    curves = [_curve("sister", phase_index=index) for index in range(3)]
    assert len({id(layers.marker(curve)[0]) for curve in curves}) == 3
    assert len({tuple(layers.line_pen(curve).dashPattern()) for curve in curves}) == 3


def test_the_curve_in_hand_is_thick_and_filled(qapp):
    from app.ui.plots import layers

    hand, sister = _curve(), _curve("sister")
    assert layers.line_pen(hand).widthF() > layers.line_pen(sister).widthF()
    assert layers.marker(hand)[1] == layers.marker(hand)[2] != layers.marker(sister)[2]


def test_another_theme_recolours_the_curves(plot, qapp):
    from app.ui import theme

    plot.show_content(PlotContent(curves=(_curve(),)))
    by_day = plot.grab().toImage()
    theme.apply(qapp, "night")
    assert plot.grab().toImage() != by_day


def test_the_knee_fills_the_plot_and_goes_back(plot):
    plot.show_content(PlotContent(curves=(_curve(knees=(KNEE,)),)))
    small = plot.detail_box.width()
    plot.toggle_enlarged()
    large = plot.detail_box.width()
    plot.toggle_enlarged()
    assert (large > 1.5 * small, plot.detail_box.width()) == (True, small)


@pytest.mark.parametrize("height", [200, 240, 300, 366, 560])
def test_the_legend_never_covers_a_curve(plot, height):
    plot.resize(642, height)
    plot.show_content(PlotContent(curves=(_curve("sister"), _curve(knees=(KNEE,)))))
    places = plot.paper.points(AMPERES, VOLTS)
    assert [place for place in places if plot.legend_box.contains(place.toPoint())] == []


@pytest.mark.parametrize("size", [(642, 366), (642, 240), (560, 300), (400, 260), (900, 420)])
@pytest.mark.parametrize("duty", [(300.0, 0.9), (420.0, 0.5), (60.0, 0.8), (20.0, 0.9)])
def test_the_knee_table_never_covers_a_duty_point(plot, size, duty):
    point = DutyPoint(duty[0], duty[1], "at most so much")
    far = _curve(points=Pairs((*VOLTS, 300.0), (*AMPERES, 1.0)), line=Pairs((*VOLTS, 300.0), (*AMPERES, 1.0)))
    plot.resize(*size)
    plot.show_content(PlotContent(curves=(far,), duty=(point,)))
    plot.grab()
    place = plot.paper.at(point.current_a, point.voltage_v).toPoint()
    assert not plot.table_box.isEmpty()
    assert not plot.table_box.contains(place)
    assert not plot.detail_box.intersects(plot.table_box)
