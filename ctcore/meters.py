"""What unlike meters read on one distorted voltage or current."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ctcore.checks import not_negative, positive_scalar, scalar
from ctcore.errors import BadInput

_STEPS_COUNT = 7200


@dataclass(frozen=True, slots=True)
class Harmonic:
    """One harmonic: order, size as a share of the fundamental, phase at the zero crossing of the
    fundamental.
    """

    order: int
    share_ratio: float
    phase_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class MeterReadings:
    """Readings over the r.m.s. value of the fundamental: mean-sensing scaled to r.m.s., true r.m.s.,
    peak/sqrt2.
    """

    mean_scaled_ratio: float
    true_rms_ratio: float
    peak_scaled_ratio: float


def readings(harmonics: Sequence[Harmonic]) -> MeterReadings:
    """Return what three kinds of meter read on a fundamental with harmonics.

    Formula: mean of |v| times pi/(2 sqrt2); sqrt(1 + sum h^2); peak/sqrt2, all over the r.m.s. fundamental.
    Args: harmonics of order 2 and more, each share zero or more.
    Result: `MeterReadings`; the mean and the peak are taken over 7 200 steps of a period, good to 1e-6.
    Valid for a steady waveform without a direct component.
    Raises BadInput for an order below 2 or that stands twice, or a negative share.
    Source: arithmetic; IEC 61869-2:2012, 7.2.6.202, asks for the mean-sensing voltmeter.

    >>> round(readings([Harmonic(3, 0.1)]).mean_scaled_ratio, 4)
    1.0333
    """
    import numpy as np

    theta = (np.arange(_STEPS_COUNT) + 0.5) * (2.0 * math.pi / _STEPS_COUNT)
    wave = np.sin(theta)
    squares = 1.0
    orders = set()
    for harmonic in harmonics:
        share = float(
            not_negative("share of the harmonic", scalar("share of the harmonic", harmonic.share_ratio))
        )
        phase = math.radians(scalar("phase of the harmonic", harmonic.phase_deg))
        if harmonic.order < 2 or harmonic.order in orders:
            raise BadInput("order of the harmonic", harmonic.order, "each order is 2 or more and stands once")
        orders.add(harmonic.order)
        wave = wave + share * np.sin(harmonic.order * theta + phase)
        squares += share * share
    mean = float(np.mean(np.abs(wave)))
    return MeterReadings(mean * math.pi / 2.0, math.sqrt(squares), float(np.max(np.abs(wave))))


def voltage_at_rated_frequency_v(voltage_v: float, f_test_hz: float, f_rated_hz: float) -> float:
    """Return the voltage that makes the same flux at rated frequency.

    Formula: V f_rated / f_test.
    Args: V r.m.s. and Hz, above zero.
    Result: V; to be labelled as scaled, since eddy currents do not scale so.
    Valid for frequencies near each other.
    Raises BadInput for values of zero or less.
    Source: arithmetic, from E = 4.44 f N flux.

    >>> voltage_at_rated_frequency_v(100.0, 50.0, 60.0)
    120.0
    """
    voltage = positive_scalar("voltage", voltage_v)
    rated = positive_scalar("rated frequency", f_rated_hz)
    return voltage * rated / positive_scalar("frequency of the test", f_test_hz)
