from __future__ import annotations

import pytest

from app.ui.plots import logscale
from app.ui.plots.logscale import Span


def test_a_decade_has_the_figures_one_two_and_five():
    assert logscale.ticks(Span(0.0, 2.0), room=12)[0] == [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]


def test_without_room_only_whole_decades_carry_figures():
    assert logscale.ticks(Span(0.0, 4.0), room=6)[0] == [1.0, 10.0, 100.0, 1000.0, 10000.0]


def test_a_part_of_a_decade_has_even_steps():
    low, high = logscale.position(210.0), logscale.position(330.0)
    assert logscale.ticks(Span(low, high), room=6)[0] == [220.0, 240.0, 260.0, 280.0, 300.0, 320.0]


def test_what_logarithmic_paper_cannot_show_is_left_out_and_counted():
    v, i, left_out = logscale.drawable([10.0, 0.0, 20.0, float("nan")], [0.1, 0.1, -0.2, 0.3])
    assert (v.tolist(), i.tolist(), left_out) == ([10.0], [0.1], 3)


@pytest.mark.parametrize("size", [(600.0, 340.0), (300.0, 900.0), (1200.0, 400.0)])
def test_decades_are_square_and_everything_fits(size):
    wide, tall = size
    x, y = logscale.square_decades(Span(-3.0, -1.0), Span(1.0, 2.5), wide, tall, reserved_right_px=80.0)
    assert wide / x.decades == pytest.approx(tall / y.decades)
    assert (x.high >= -1.0, y.high >= 2.5) == (True, True)


def test_position_and_value_are_inverse():
    assert logscale.value(logscale.position(287.3)) == pytest.approx(287.3)
