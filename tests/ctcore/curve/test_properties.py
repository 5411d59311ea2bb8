"""What holds for any rising curve."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ctcore.curve import (
    Curve,
    TakenAs,
    Tap,
    compare,
    envelope,
    inductance,
    next_reading,
    on_one_line,
    remanence,
)

AS_TAKEN = TakenAs("mean", "rms", 50.0, "S1-S3")


@st.composite
def rising_curves(draw: st.DrawFn) -> Curve:
    steps = draw(st.lists(st.tuples(st.floats(0.02, 0.5), st.floats(0.01, 2.0)), min_size=3, max_size=20))
    x, y = np.cumsum(np.array(steps), axis=0).T
    stated = draw(st.sampled_from([{}, {"u_voltage_rel": 0.002, "u_current_rel": 0.005}]))
    return Curve(10.0 * np.exp(x), 1e-3 * np.exp(y), **stated)


def rises(curve: Curve) -> bool:
    """Where smoothing levels a piece off, the voltage of a current is refused, as is documented."""
    return bool(np.all(np.diff(curve.log_curve.ln_current_node) > 0.0))


@settings(max_examples=40, deadline=None)
@given(rising_curves(), st.floats(0.0, 1.0))
def test_voltage_and_current_are_inverse(curve: Curve, share: float) -> None:
    assume(rises(curve))
    voltage = curve.voltage_first_v + share * (curve.voltage_last_v - curve.voltage_first_v)
    assert curve.voltage_v(curve.current_a(voltage)) == pytest.approx(voltage, rel=1e-7)


@settings(max_examples=40, deadline=None)
@given(rising_curves())
def test_the_next_voltage_is_a_new_one_above_zero_with_a_reason(curve: Curve) -> None:
    advice = next_reading(curve)
    assert advice.reason_text
    assert advice.voltage_v is None or advice.voltage_v > 0.0
    assert advice.voltage_v not in curve.readings.voltage_v


@settings(max_examples=40, deadline=None)
@given(rising_curves())
def test_a_curve_compared_with_itself_covers_all_its_readings(curve: Curve) -> None:
    assert len(compare(curve, curve, AS_TAKEN, AS_TAKEN).deviations) == len(curve.readings.voltage_v)


@settings(max_examples=40, deadline=None)
@given(rising_curves(), st.floats(0.5, 2.0))
def test_every_reading_gets_its_side_of_the_knee(curve: Curve, share: float) -> None:
    points = envelope(curve, curve, v_knee_v=share * curve.voltage_first_v * 2.0)
    assert [point.voltage_v for point in points] == list(curve.readings.voltage_v)


@settings(max_examples=40, deadline=None)
@given(rising_curves(), st.integers(1, 2000))
def test_a_tap_lies_on_its_own_line(curve: Curve, turns: int) -> None:
    assume(rises(curve))
    (line,) = on_one_line([Tap(curve, turns)])
    assert line.furthest_percent == pytest.approx(0.0, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(rising_curves())
def test_a_curve_never_shows_remanence_against_itself(curve: Curve) -> None:
    assert remanence(curve, curve).was_magnetised in (False, None)


@settings(max_examples=40, deadline=None)
@given(rising_curves(), st.floats(10.0, 400.0))
def test_inductance_goes_with_one_over_frequency(curve: Curve, frequency_hz: float) -> None:
    expected = inductance(curve, 50.0).unsaturated_h * 50.0 / frequency_hz
    assert inductance(curve, frequency_hz).unsaturated_h == pytest.approx(expected)
