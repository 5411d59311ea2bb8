"""Readings against a reference curve: which side of its knee, and whether within the allowance there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ctcore.checks import positive_scalar
from ctcore.curve.comparison import inside
from ctcore.curve.curve import Curve
from ctcore.envelope import current_within, voltage_within


@dataclass(frozen=True, slots=True)
class EnvelopePoint:
    """One reading with the current of the reference at its voltage, and the voltage at its current.

    Below the knee the current decides, from the knee on the voltage; a reference value is None, and so is the
    answer it would decide, where the reference curve does not go.
    """

    voltage_v: float
    current_a: float
    side: Literal["below", "above"]
    i_reference_a: float | None
    v_reference_v: float | None
    is_within: bool | None


def envelope(reference: Curve, curve: Curve, *, v_knee_v: float | None = None) -> tuple[EnvelopePoint, ...]:
    """Return each reading against the allowance of a reference curve.

    Formula: below the knee I <= 125 % of the reference at equal voltage; from the knee on V >= 95 % of the
    reference at equal current. On the limit is within.

    Args: curves of equal meters, frequency and tap; v_knee_v, the 45 degree knee of the reference in V, found
    from the reference when left out.
    Errors: `NoKnee` when the reference has no 45 degree knee; `BadInput` for a knee that is no voltage.
    Source: IEEE C57.13-2016 (from memory), by `ctcore.envelope`.

    >>> reference = Curve([100.0, 200.0, 400.0], [0.05, 0.10, 1.0])
    >>> found = Curve([100.0, 200.0, 390.0], [0.06, 0.13, 1.0])
    >>> [point.is_within for point in envelope(reference, found, v_knee_v=210.0)]
    [True, False, True]
    """
    knee = reference.knee("tangent45").voltage_v if v_knee_v is None else positive_scalar("knee", v_knee_v)
    pairs = zip(curve.readings.voltage_v, curve.readings.current_a, strict=True)
    return tuple(_point(reference, voltage, current, knee) for voltage, current in pairs)


def _point(reference: Curve, voltage: float, current: float, knee: float) -> EnvelopePoint:
    i_reference, v_reference = inside(reference.current_a, voltage), inside(reference.voltage_v, current)
    if voltage < knee:
        within = None if i_reference is None else current_within(current, i_reference)
        return EnvelopePoint(voltage, current, "below", i_reference, v_reference, within)
    within = None if v_reference is None else voltage_within(voltage, v_reference)
    return EnvelopePoint(voltage, current, "above", i_reference, v_reference, within)
