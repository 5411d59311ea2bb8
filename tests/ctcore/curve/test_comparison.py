"""Curves compared, and not compared."""

from __future__ import annotations

import pytest

from ctcore.curve import Curve, TakenAs, compare, refusals

ALIKE = TakenAs("mean", "rms", 50.0, "S1-S3")
CURVE = Curve([10.0, 20.0, 40.0], [0.01, 0.02, 0.04])


@pytest.mark.parametrize(
    ("other", "reason"),
    [
        (TakenAs("rms", "rms", 50.0, "S1-S3"), "voltage meters are unlike"),
        (TakenAs("mean", "mean", 50.0, "S1-S3"), "current meters are unlike"),
        (TakenAs("mean", "rms", 60.0, "S1-S3"), "frequencies are unlike"),
        (TakenAs("mean", "rms", 50.0, "S1-S2"), "taps are unlike"),
        (TakenAs(None, "rms", 50.0, "S1-S3"), "voltage meter of one curve is not known"),
    ],
)
def test_curves_taken_unlike_are_refused_with_the_reason(other: TakenAs, reason: str) -> None:
    (refusal,) = compare(CURVE, CURVE, ALIKE, other).refusals_text
    assert reason in refusal


def test_every_reason_is_named() -> None:
    assert len(refusals(ALIKE, TakenAs("rms", "mean", 60.0, "S1-S2"))) == 4


def test_what_is_not_known_of_both_curves_is_said_so() -> None:
    unknown = TakenAs("mean", "rms", None, "S1-S3")
    assert refusals(unknown, unknown) == ("the frequency of both curves is not known",)


def test_a_frequency_a_little_off_is_compared() -> None:
    assert refusals(ALIKE, TakenAs("mean", "rms", 50.1, "S1-S3")) == ()


def test_a_curve_shows_no_deviation_from_itself() -> None:
    deviations = compare(CURVE, CURVE, ALIKE, ALIKE).deviations
    assert [d.current_percent for d in deviations] == pytest.approx([0.0, 0.0, 0.0], abs=1e-9)


def test_a_current_beyond_the_other_curve_leaves_the_voltage_open() -> None:
    higher = Curve([10.0, 20.0, 40.0], [0.012, 0.024, 0.048])
    last = compare(higher, CURVE, ALIKE, ALIKE).deviations[-1]
    assert last.voltage_percent is None
    assert last.current_percent == pytest.approx(20.0)


def test_readings_outside_the_other_curve_are_left_out() -> None:
    longer = Curve([5.0, 20.0, 80.0], [0.005, 0.02, 0.08])
    assert [d.voltage_v for d in compare(longer, CURVE, ALIKE, ALIKE).deviations] == [20.0]


def test_curves_without_a_shared_voltage_say_so() -> None:
    far = Curve([100.0, 200.0, 400.0], [0.01, 0.02, 0.04])
    assert compare(far, CURVE, ALIKE, ALIKE).refusals_text == ("the curves share no voltage",)
