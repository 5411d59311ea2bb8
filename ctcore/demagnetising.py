"""Plans of steps that bring a core to zero flux: alternating voltage run down, or direct current reversed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ctcore.checks import positive_scalar
from ctcore.errors import BadInput

# Practice: start well past the knee, so that every domain follows; common practice, no source.
START_OVER_KNEE = 1.2
# Practice: a step to 0.8 of the one before leaves less than 2 % of the flux; common practice, no source.
STEP_SHARE = 0.8
END_SHARE = 0.01


@dataclass(frozen=True, slots=True)
class Step:
    """One step: the level, negative where the direction is reversed, and the least time to hold it in s."""

    level: float
    hold_s: float


def flux_linkage_vs(v_knee_v: float, frequency_hz: float) -> float:
    """Return the peak flux linkage of a winding at a voltage.

    Formula: sqrt2 V / (2 pi f).
    Args: V r.m.s. of a sine, and Hz, above zero.
    Result: Vs, peak.
    Valid for a sine; a mean-sensing meter scaled to r.m.s. gives it whatever the waveform.
    Raises BadInput for values of zero or less.
    Source: arithmetic.

    >>> round(flux_linkage_vs(444.3, 50.0), 2)
    2.0
    """
    volts = positive_scalar("knee voltage", v_knee_v)
    return math.sqrt(2.0) * volts / (2.0 * math.pi * positive_scalar("frequency", frequency_hz))


def ac_ramp(v_knee_v: float, frequency_hz: float, *, ceiling_v: float | None = None) -> tuple[Step, ...]:
    """Return the steps of an alternating voltage that is run down to zero.

    Formula: start at 1.2 knee, or at the ceiling where that is lower; each step 0.8 of the one before, to 1 %
    of the start, then off; each held for ten periods.
    Args: knee voltage in V; Hz; the highest voltage allowed in V, or None.
    Result: steps in V r.m.s., the last at zero.
    Valid where the start reaches the knee.
    Raises BadInput where the ceiling lies below the knee: the core cannot be demagnetised by voltage there.
    Source: common practice, no source.

    >>> [round(step.level, 1) for step in ac_ramp(100.0, 50.0)][:3], ac_ramp(100.0, 50.0)[-1].level
    ([120.0, 96.0, 76.8], 0.0)
    """
    knee = positive_scalar("knee voltage", v_knee_v)
    start = START_OVER_KNEE * knee
    if ceiling_v is not None:
        if positive_scalar("ceiling", ceiling_v) < knee:
            raise BadInput("ceiling", ceiling_v, "it lies below the knee, where voltage does not demagnetise")
        start = min(start, ceiling_v)
    hold = 10.0 / positive_scalar("frequency", frequency_hz)
    return (*(Step(start * STEP_SHARE**index, hold) for index in range(_count())), Step(0.0, hold))


def alternating_dc(
    i_start_a: float, *, flux_linkage_peak_vs: float, v_source_v: float, r_circuit_ohm: float
) -> tuple[Step, ...]:
    """Return the steps of a direct current that is reversed and lowered in turn.

    Formula: levels +I, -0.8 I, +0.64 I ... to 1 % of the start; each held for 2 psi / (V - |I| R), the time
    that the source needs to swing the flux from one end to the other.
    Args: current that saturates, in A; peak flux linkage at the knee in Vs; open voltage of the source in V;
    resistance of winding and leads in ohm.
    Result: steps in A, signs in turn, the last at zero.
    Valid for a source of stated open voltage that limits its current.
    Raises BadInput where the source cannot drive the current through the resistance.
    Source: arithmetic; the step common practice, no source.

    >>> plan = alternating_dc(1.0, flux_linkage_peak_vs=2.0, v_source_v=12.0, r_circuit_ohm=4.0)
    >>> [(round(step.level, 2), round(step.hold_s, 2)) for step in plan[:3]]
    [(1.0, 0.5), (-0.8, 0.45), (0.64, 0.42)]
    """
    start = positive_scalar("starting current", i_start_a)
    linkage = positive_scalar("flux linkage", flux_linkage_peak_vs)
    source = positive_scalar("source voltage", v_source_v)
    ohm = positive_scalar("resistance", r_circuit_ohm)
    if source <= start * ohm:
        raise BadInput(
            "source voltage", v_source_v, "it does not drive the starting current through the winding"
        )
    steps = []
    for index in range(_count()):
        size = start * STEP_SHARE**index
        steps.append(Step(size if index % 2 == 0 else -size, 2.0 * linkage / (source - size * ohm)))
    return (*steps, Step(0.0, 0.0))


def _count() -> int:
    return math.ceil(math.log(END_SHARE) / math.log(STEP_SHARE)) + 1
