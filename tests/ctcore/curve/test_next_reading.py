"""The next voltage to take."""

from __future__ import annotations

import numpy as np
import pytest

from ctcore.curve import DEFINITIONS, Curve, NoKnee, next_reading, next_voltage_v

STATED = {"u_voltage_rel": 0.002, "u_current_rel": 0.005}


def two_powers(voltage: np.ndarray) -> np.ndarray:
    ratio = np.asarray(voltage) / 400.0
    return 0.02 * ratio**0.6 + 0.004 * ratio**18


def followed(volts: list[float], stated: dict[str, float]) -> Curve:
    """The curve after every voltage that was advised has been taken."""
    curve = Curve(volts, two_powers(np.array(volts)), **stated)
    wanted = next_voltage_v(curve)
    return curve if wanted is None else followed(sorted([*volts, wanted]), stated)


def test_below_the_knee_the_next_voltage_is_eight_percent_higher() -> None:
    volts = np.linspace(100.0, 300.0, 6)
    assert next_voltage_v(Curve(volts, two_powers(volts))) == pytest.approx(324.0)


def test_on_the_bend_the_next_voltage_is_four_percent_higher() -> None:
    volts = np.linspace(100.0, 400.0, 12)
    advice = next_reading(Curve(volts, two_powers(volts)))
    assert advice.voltage_v == pytest.approx(416.0)
    assert advice.reason_text == "the IEC knee is not reached: rise further"


def test_a_curve_that_starts_beyond_a_knee_asks_for_a_lower_voltage() -> None:
    volts = np.linspace(370.0, 480.0, 12)
    advice = next_reading(Curve(volts, two_powers(volts)))
    assert advice.voltage_v == pytest.approx(247.0)
    assert "45 degree knee: take a lower one" in advice.reason_text


def test_a_curve_beyond_its_45_degree_point_from_far_below_asks_for_nothing_lower() -> None:
    volts = np.concatenate([np.geomspace(10.0, 190.0, 20), np.linspace(200.0, 480.0, 30)])
    curve = Curve(volts, 0.02 * (volts / 400.0) ** 1.2 + 0.004 * (volts / 400.0) ** 18)
    advice = next_reading(curve)
    assert advice.voltage_v is None
    assert "already beyond" in advice.reason_text


def test_two_crossings_ask_for_a_reading_between_them() -> None:
    x = np.log(100.0) + 0.1 * np.arange(16)
    slopes = [0.6, 0.8, 1.2, 1.4, 1.2, 0.8, 0.6, 0.8, 1.2, 1.6, 2.0, 3.0, 6.0, 9.0, 9.0]
    y = np.concatenate([[0.0], np.cumsum(0.1 * np.array(slopes))]) - 5.0
    advice = next_reading(Curve(np.exp(x), np.exp(y)))
    assert advice.voltage_v is not None
    assert "more than once" in advice.reason_text


def test_few_readings_near_a_knee_ask_for_one_in_the_widest_gap() -> None:
    volts = np.array([60.0, 120.0, 180.0, 240.0, 300.0, 340.0, 380.0, 420.0, 450.0, 500.0])
    advice = next_reading(Curve(volts, two_powers(volts)))
    assert advice.voltage_v == pytest.approx(320.0)
    assert "4 readings near it" in advice.reason_text


def test_a_knee_known_worse_than_one_percent_asks_for_another_reading() -> None:
    volts = np.linspace(60.0, 480.0, 12)
    current = 0.02 * (volts / 400.0) ** 0.9 + 0.004 * (volts / 400.0) ** 12
    advice = next_reading(Curve(volts, current, **STATED))
    assert advice.voltage_v is not None
    assert "known to" in advice.reason_text


def test_a_well_taken_curve_without_stated_scatter_asks_for_nothing() -> None:
    volts = np.linspace(60.0, 480.0, 30)
    advice = next_reading(Curve(volts, two_powers(volts)))
    assert advice.voltage_v is None
    assert "not stated" in advice.reason_text


def test_a_common_uncertainty_asks_for_no_reading_since_none_would_help() -> None:
    volts = np.linspace(60.0, 480.0, 60)
    curve = Curve(volts, two_powers(volts), **STATED, u_voltage_scale_rel=0.02)
    assert next_reading(curve).reason_text == "nothing is missing, or only better meters would tell more"


@pytest.mark.parametrize("stated", [{}, STATED])
def test_following_the_advice_finds_all_three_knees(stated: dict[str, float]) -> None:
    curve = followed([120.0, 160.0, 200.0], stated)
    found = [curve.knee(definition).voltage_v for definition in DEFINITIONS]
    assert next_voltage_v(curve) is None
    assert found == pytest.approx([386.2177, 353.7082, 376.452], rel=0.01)


def test_advice_where_a_knee_has_too_few_readings_to_be_told() -> None:
    volts = np.array([50.0, 100.0, 150.0, 250.0, 460.0, 500.0])
    curve = Curve(volts, two_powers(volts), **STATED)
    with pytest.raises(NoKnee):
        curve.knee("tangent30")
    assert next_voltage_v(curve) is not None
