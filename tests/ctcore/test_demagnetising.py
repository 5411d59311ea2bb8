"""Plans of steps that end at zero flux, proved on a core that is followed through them."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from ctcore import demagnetising
from ctcore.errors import BadInput


def test_the_ramp_starts_past_the_knee_and_ends_at_zero() -> None:
    steps = demagnetising.ac_ramp(400.0, 50.0)

    assert steps[0].level == pytest.approx(480.0)
    assert steps[-1].level == 0.0
    assert steps[-2].level <= 0.01 * 480.0
    assert all(step.hold_s == pytest.approx(0.2) for step in steps)


def test_no_step_of_the_ramp_is_larger_than_a_fifth() -> None:
    levels = [step.level for step in demagnetising.ac_ramp(400.0, 50.0)][:-1]

    assert [after / before for before, after in pairwise(levels)] == pytest.approx([0.8] * (len(levels) - 1))


def test_the_ramp_keeps_to_the_ceiling_and_refuses_one_below_the_knee() -> None:
    assert demagnetising.ac_ramp(400.0, 50.0, ceiling_v=430.0)[0].level == 430.0
    with pytest.raises(BadInput, match="below the knee"):
        demagnetising.ac_ramp(400.0, 50.0, ceiling_v=399.0)


def plan() -> tuple[demagnetising.Step, ...]:
    linkage = demagnetising.flux_linkage_vs(400.0, 50.0)
    return demagnetising.alternating_dc(2.0, flux_linkage_peak_vs=linkage, v_source_v=24.0, r_circuit_ohm=3.0)


def test_direct_current_is_reversed_at_every_step_and_ends_at_zero() -> None:
    levels = [step.level for step in plan()]

    assert levels[-1] == 0.0
    assert all(a * b < 0 for a, b in pairwise(levels[:-1]))


def test_each_step_is_held_as_long_as_the_source_needs_to_swing_the_flux() -> None:
    """t = 2 psi/(V - I R); psi = sqrt2 400/314 = 1.80 Vs, 24 V, 6 V drop: 0.200 s; arithmetic."""
    assert plan()[0].hold_s == pytest.approx(2 * math.sqrt(2) * 400 / (100 * math.pi) / 18.0)


def test_a_source_that_cannot_drive_the_current_is_refused() -> None:
    with pytest.raises(BadInput, match="does not drive"):
        demagnetising.alternating_dc(2.0, flux_linkage_peak_vs=1.8, v_source_v=6.0, r_circuit_ohm=3.0)


def left_after(levels: list[float], start: float) -> float:
    """Flux left in a core that is swung through levels, by the stacking of small hysteresis relays.

    A relay switches up at +a and down at -a, with thresholds a spread evenly to the first level; from memory.
    """
    thresholds = [(place + 0.5) / 200.0 * start for place in range(200)]
    state = [1.0] * 200
    for level in levels:
        state = [
            math.copysign(1.0, level) if abs(level) >= a else now
            for a, now in zip(thresholds, state, strict=True)
        ]
    return abs(sum(state)) / 200.0


def test_the_plan_leaves_almost_nothing_of_the_remanence() -> None:
    levels = [step.level for step in plan()[:-1]]

    assert left_after(levels, 2.0) < 0.12
    assert left_after(levels[:1], 2.0) == 1.0
