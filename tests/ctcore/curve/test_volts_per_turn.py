"""All taps of one core on one line."""

from __future__ import annotations

import numpy as np
import pytest

from ctcore.curve import Curve, Tap, on_one_line
from ctcore.errors import BadInput


def tap(turns: int, *, marked_turns: int | None = None) -> Tap:
    per_turn = np.linspace(0.1, 1.2, 20)
    ampere_turns = 8.0 * per_turn**0.7 + 2.0 * per_turn**15
    return Tap(Curve(per_turn * turns, ampere_turns / turns), marked_turns or turns)


def test_taps_of_one_core_fall_on_one_line() -> None:
    lines = on_one_line([tap(240), tap(120), tap(60)])
    assert [line.furthest_percent for line in lines] == pytest.approx([0.0, 0.0, 0.0], abs=1e-6)


def test_a_tap_with_the_wrong_turns_leaves_the_line() -> None:
    lines = on_one_line([tap(240), tap(100, marked_turns=120)])
    assert lines[1].furthest_percent is not None
    assert abs(lines[1].furthest_percent) > 15.0


def test_points_of_a_tap_are_volts_per_turn_and_ampere_turns() -> None:
    (line,) = on_one_line([tap(240)])
    assert line.volts_per_turn_v[0] == pytest.approx(0.1)
    assert line.ampere_turns_a[0] == pytest.approx(8.0 * 0.1**0.7)


def test_taps_that_share_no_ampere_turns_are_not_compared() -> None:
    far = Tap(Curve([1.0, 2.0, 3.0], [100.0, 200.0, 300.0]), 240)
    assert on_one_line([tap(240), far])[1].furthest_percent is None


def test_no_taps_make_no_lines() -> None:
    assert on_one_line([]) == ()


def test_a_tap_without_turns_is_refused() -> None:
    with pytest.raises(BadInput, match="turns"):
        on_one_line([Tap(tap(240).curve, 0)])
