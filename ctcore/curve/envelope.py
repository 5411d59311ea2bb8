"""Readings against a reference curve: the allowance on either side of its knee."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ctcore.curve.comparison import inside
from ctcore.curve.curve import Curve
from ctcore.curve.readings import checked
from ctcore.errors import BadInput

_ROUNDING_REL = 1e-12


@dataclass(frozen=True, slots=True)
class EnvelopeRule:
    """The allowance, with its source and the standing of that source."""

    current_below_knee_ratio: float
    voltage_above_knee_ratio: float
    source_text: str
    standing_text: str


RULE = EnvelopeRule(1.25, 0.95, "IEEE C57.13, typical excitation curve of relay classes", "from memory")


@dataclass(frozen=True, slots=True)
class EnvelopePoint:
    """One reading: which side of the knee, its value, its limit in the same unit, and whether it is within.

    `limit` and `is_within` are None where the reference curve does not go.
    """

    voltage_v: float
    current_a: float
    side: Literal["below", "above"]
    limit: float | None
    is_within: bool | None


def envelope(
    reference: Curve, curve: Curve, *, v_knee_v: float | None = None, rule: EnvelopeRule = RULE
) -> tuple[EnvelopePoint, ...]:
    """Return each reading against the allowance of a reference curve.

    Formula: below the knee I <= 1.25 I_reference at equal voltage; from the knee on V >= 0.95 V_reference at
    equal current. On the limit is within.

    Args: v_knee_v, the 45 degree knee of the reference in V; found from the reference when left out.
    Errors: `NoKnee` when the reference has no 45 degree knee; `BadInput` for a knee that is no voltage.
    Source: IEEE C57.13 (from memory).

    >>> reference = Curve([100.0, 200.0, 400.0], [0.05, 0.10, 1.0])
    >>> found = Curve([100.0, 200.0, 390.0], [0.06, 0.13, 1.0])
    >>> [point.is_within for point in envelope(reference, found, v_knee_v=210.0)]
    [True, False, True]
    """
    if v_knee_v is None:
        v_knee_v = reference.knee("tangent45").voltage_v
    elif not v_knee_v > 0.0:
        raise BadInput("knee voltage", v_knee_v, "it is a number above zero")
    return tuple(
        point_against(reference, voltage, current, v_knee_v=v_knee_v, rule=rule)
        for voltage, current in zip(curve.readings.voltage_v, curve.readings.current_a, strict=True)
    )


def point_against(
    reference: Curve, voltage_v: float, current_a: float, *, v_knee_v: float, rule: EnvelopeRule = RULE
) -> EnvelopePoint:
    """Return one reading against the allowance of a reference curve.

    Formula, errors and source: as `envelope`.

    >>> reference = Curve([100.0, 200.0, 400.0], [0.05, 0.10, 1.0])
    >>> point_against(reference, 385.0, 1.0, v_knee_v=210.0).is_within
    True
    """
    checked([voltage_v], "voltage")
    checked([current_a], "current")
    if voltage_v < v_knee_v:
        read = inside(reference.current_a, voltage_v)
        limit = None if read is None else rule.current_below_knee_ratio * read
        within = None if limit is None else current_a <= limit * (1.0 + _ROUNDING_REL)
        return EnvelopePoint(voltage_v, current_a, "below", limit, within)
    read = inside(reference.voltage_v, current_a)
    limit = None if read is None else rule.voltage_above_knee_ratio * read
    within = None if limit is None else voltage_v >= limit * (1.0 - _ROUNDING_REL)
    return EnvelopePoint(voltage_v, current_a, "above", limit, within)
