"""Readings against a reference curve."""

from __future__ import annotations

import numpy as np
import pytest

from ctcore.curve import Curve, NoKnee, envelope
from ctcore.errors import BadInput

VOLTS = np.linspace(40.0, 480.0, 23)
AMPERES = 0.02 * (VOLTS / 400.0) ** 0.6 + 0.004 * (VOLTS / 400.0) ** 18
REFERENCE = Curve(VOLTS, AMPERES)


def test_a_curve_is_within_its_own_envelope() -> None:
    assert all(point.is_within for point in envelope(REFERENCE, REFERENCE))


def test_the_side_changes_at_the_45_degree_knee_of_the_reference() -> None:
    sides = {round(point.voltage_v): point.side for point in envelope(REFERENCE, REFERENCE)}
    assert (sides[340], sides[360]) == ("below", "above")


def test_a_third_more_current_is_outside_below_the_knee_alone() -> None:
    points = envelope(REFERENCE, Curve(VOLTS[5:-1], 1.3 * AMPERES[5:-1]))
    assert not any(p.is_within for p in points if p.side == "below")
    assert next(p.is_within for p in points if p.voltage_v == pytest.approx(440.0))


def test_readings_where_the_reference_does_not_go_are_not_judged() -> None:
    points = envelope(REFERENCE, Curve([20.0, 100.0, 600.0], [0.005, 0.01, 50.0]))
    assert [point.is_within for point in points] == [None, True, None]


def test_a_reference_without_a_knee_is_refused() -> None:
    with pytest.raises(NoKnee):
        envelope(Curve([10.0, 20.0, 40.0], [0.01, 0.02, 0.04]), REFERENCE)


def test_a_knee_that_is_no_voltage_is_refused() -> None:
    with pytest.raises(BadInput, match="knee"):
        envelope(REFERENCE, REFERENCE, v_knee_v=0.0)
