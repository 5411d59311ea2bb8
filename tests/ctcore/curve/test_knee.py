"""What is a knee, and what is none."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ctcore.curve import DEFINITIONS, Curve, Knee, NoKnee, mark_reversed
from ctcore.errors import BadInput

STATED = {"u_voltage_rel": 0.002, "u_current_rel": 0.005}


def from_slopes(slopes: list[float]) -> tuple[np.ndarray, np.ndarray]:
    """Readings a twentieth apart in ln V whose current follows the slopes given."""
    x = np.log(100.0) + 0.05 * np.arange(len(slopes) + 1)
    return np.exp(x), np.exp(np.concatenate([[-5.0], -5.0 + np.cumsum(0.05 * np.array(slopes))]))


@pytest.mark.parametrize("stated", [{}, STATED])
def test_a_curve_steeper_than_the_tangent_from_the_start_has_no_knee_there(stated: dict[str, float]) -> None:
    volts, amperes = from_slopes([1.2, 1.3, 1.4, 1.5, 1.6, 1.6, 1.6, 1.6])
    with pytest.raises(NoKnee, match="start too high"):
        Curve(volts, amperes, **stated).knee("tangent45")


@pytest.mark.parametrize("definition", DEFINITIONS)
@pytest.mark.parametrize("stated", [{}, STATED])
def test_a_curve_without_a_bend_reaches_no_knee(stated: dict[str, float], definition: str) -> None:
    volts, amperes = from_slopes([0.8] * 12)
    with pytest.raises(NoKnee, match="not reached"):
        Curve(volts, amperes, **stated).knee(definition)


def test_a_downward_crossing_is_no_knee() -> None:
    volts, amperes = from_slopes([1.6, 1.5, 1.4, 1.3, 1.1, 0.9, 0.8, 0.7, 0.7, 0.7])
    with pytest.raises(NoKnee, match="start too high"):
        Curve(volts, amperes).knee("tangent45")


def test_two_upward_crossings_are_refused_with_both_voltages() -> None:
    volts, amperes = from_slopes([0.6, 0.8, 1.2, 1.4, 1.2, 0.8, 0.6, 0.8, 1.2, 1.6, 2.0])
    with pytest.raises(NoKnee, match=r"more than one: .* and "):
        Curve(volts, amperes).knee("tangent45")


def test_one_upward_crossing_after_a_steep_start_is_a_knee() -> None:
    volts, amperes = from_slopes([1.6, 1.3, 1.1, 0.8, 0.7, 0.7, 0.8, 1.2, 1.6, 2.0])
    assert volts[5] < Curve(volts, amperes).knee("tangent45").voltage_v < volts[8]


def test_the_iec_knee_needs_a_reading_at_1_1_times_its_voltage() -> None:
    volts = np.linspace(40.0, 420.0, 20)
    curve = Curve(volts, 0.02 * (volts / 400.0) ** 0.6 + 0.004 * (volts / 400.0) ** 18)
    with pytest.raises(NoKnee, match="not reached"):
        curve.knee("iec")


def test_readings_within_a_tenth_of_one_another_reach_no_iec_knee() -> None:
    with pytest.raises(NoKnee, match="not reached"):
        Curve([100.0, 103.0, 106.0], [0.1, 0.2, 0.4]).knee("iec")


def test_readings_that_begin_beyond_the_iec_knee_start_too_high() -> None:
    volts, amperes = from_slopes([8.0] * 8)
    with pytest.raises(NoKnee, match="start too high"):
        Curve(volts, amperes).knee("iec")


def test_a_knee_with_too_few_readings_near_it_is_refused() -> None:
    volts = np.array([50.0, 100.0, 150.0, 250.0, 460.0])
    curve = Curve(volts, 0.02 * (volts / 400.0) ** 0.6 + 0.004 * (volts / 400.0) ** 18)
    with pytest.raises(NoKnee, match="too few readings"):
        curve.knee("tangent45")


@pytest.mark.parametrize("stated", [{}, STATED])
def test_a_corner_hidden_between_few_readings_is_refused(stated: dict[str, float]) -> None:
    volts = 194.0 * np.geomspace(0.15, 1.25, 15)
    curve = Curve(volts, 0.02 * (volts / 200.0) ** 0.5 + 0.002 * (volts / 200.0) ** 25, **stated)
    with pytest.raises(NoKnee, match="times as steep; take one between"):
        curve.knee("iec")


def test_fewer_readings_near_the_knee_make_a_wider_uncertainty() -> None:
    def u_rel(count: int) -> float:
        volts = np.linspace(80.0, 480.0, count)
        current = 0.02 * (volts / 400.0) ** 0.6 + 0.004 * (volts / 400.0) ** 18
        u_voltage_v = Curve(volts, current, **STATED).knee("tangent45").u_voltage_v
        assert u_voltage_v is not None
        return u_voltage_v

    assert u_rel(7) > 1.3 * u_rel(15)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.1, 500.0), st.floats(1e-4, 10.0)), min_size=3, max_size=25),
    st.sampled_from(DEFINITIONS),
    st.sampled_from([(None, None), (0.002, 0.005), (0.05, 0.0), (0.0, 0.001)]),
)
def test_any_take_gives_a_knee_inside_its_readings_or_a_reason(
    pairs: list[tuple[float, float]], definition: str, u: tuple[float | None, float | None]
) -> None:
    voltage, current = np.array(sorted(pairs)).T
    kept = ~np.array(mark_reversed(voltage, u[0]))
    answer = answer_of(voltage[kept], current[kept], definition, u)
    assert is_reason(answer) or is_inside(answer, voltage, stated=None not in u)


def is_reason(answer: Knee | str) -> bool:
    words = ("readings", "not reached", "more than one", "told apart")
    return isinstance(answer, str) and any(word in answer for word in words)


def is_inside(answer: Knee | str, voltage: np.ndarray, *, stated: bool) -> bool:
    return (
        isinstance(answer, Knee)
        and voltage[0] <= answer.voltage_v <= voltage[-1]
        and bool(np.isfinite(answer.current_a))
        and (answer.u_voltage_v is not None and 0.0 < answer.u_voltage_v < np.inf) == stated
    )


def answer_of(
    voltage: np.ndarray, current: np.ndarray, definition: str, u: tuple[float | None, float | None]
) -> Knee | str:
    try:
        return Curve(voltage, current, u_voltage_rel=u[0], u_current_rel=u[1]).knee(definition)
    except NoKnee as none:
        return none.reason
    except BadInput as bad:
        return f"{bad.quantity}: {bad.reason}"
