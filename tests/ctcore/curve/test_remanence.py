"""Signs of remanence."""

from __future__ import annotations

import numpy as np
import pytest

from ctcore.curve import Curve, remanence

VOLTS = np.linspace(40.0, 480.0, 23)
AMPERES = 0.02 * (VOLTS / 400.0) ** 0.6 + 0.004 * (VOLTS / 400.0) ** 18
LOW_END_RAISED = AMPERES * (1.0 + 0.5 * np.exp(-VOLTS / 80.0))


def test_a_low_end_that_moved_by_demagnetising_was_magnetised() -> None:
    sign = remanence(Curve(VOLTS, LOW_END_RAISED), Curve(VOLTS, AMPERES))
    assert sign.was_magnetised is True
    assert sign.current_change_low_percent is not None
    assert sign.current_change_low_percent > 10.0


def test_a_curve_that_did_not_move_was_not_magnetised() -> None:
    assert remanence(Curve(VOLTS, AMPERES), Curve(VOLTS, AMPERES)).was_magnetised is False


def test_a_curve_that_moved_at_both_ends_does_not_tell() -> None:
    sign = remanence(Curve(0.9 * VOLTS, AMPERES), Curve(VOLTS, AMPERES))
    assert sign.was_magnetised is None
    assert "above the knee too" in sign.reason_text


def test_stated_scatter_wider_than_the_rule_widens_the_limits() -> None:
    stated = {"u_voltage_rel": 0.002, "u_current_rel": 0.1}
    sign = remanence(Curve(VOLTS, LOW_END_RAISED, **stated), Curve(VOLTS, AMPERES, **stated))
    assert sign.was_magnetised is False


@pytest.mark.parametrize(
    ("kept", "reason"),
    [(slice(0, 10), "too little above the knee"), (slice(12, 23), "too little below half the knee")],
)
def test_curves_that_share_too_little_do_not_tell(kept: slice, reason: str) -> None:
    sign = remanence(Curve(VOLTS[kept], AMPERES[kept]), Curve(VOLTS, AMPERES))
    assert sign.was_magnetised is None
    assert reason in sign.reason_text


def test_a_curve_after_without_a_knee_does_not_tell() -> None:
    sign = remanence(Curve(VOLTS, AMPERES), Curve(VOLTS[:12], AMPERES[:12]))
    assert sign.was_magnetised is None
    assert "no IEC knee" in sign.reason_text
