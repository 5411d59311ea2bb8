"""Whether a measured point lies near enough to the reference curve of an IEEE relaying class."""

from __future__ import annotations

from ctcore.checks import positive_scalar
from ctcore.standards.ieee_c57_13_2016 import ENVELOPE


def current_within(i_measured_a: float, i_reference_a: float) -> bool:
    """Return whether the exciting current below the knee is within its limit, at equal voltage.

    Formula: I <= 125 % of the reference.
    Args: A r.m.s. at the same voltage, tap, frequency and kind of meter, above zero.
    Result: True when within; on the limit is within.
    Valid below the 45 degree knee of a core whose reference curve belongs to it; IEC has no such limit.
    Raises BadInput for values of zero or less.
    Source: IEEE C57.13-2016 (from memory).

    >>> current_within(0.06, 0.05), current_within(0.13, 0.10)
    (True, False)
    """
    measured = positive_scalar("exciting current", i_measured_a)
    reference = positive_scalar("exciting current of the reference", i_reference_a)
    return measured * 100.0 <= reference * ENVELOPE.current_percent_below_knee


def voltage_within(v_measured_v: float, v_reference_v: float) -> bool:
    """Return whether the voltage above the knee is within its limit, at equal exciting current.

    Formula: V >= 95 % of the reference.
    Args: V r.m.s. at the same exciting current, tap, frequency and kind of meter, above zero.
    Result: True when within; on the limit is within.
    Valid above the 45 degree knee, as `current_within`.
    Raises BadInput for values of zero or less.
    Source: IEEE C57.13-2016 (from memory).

    >>> voltage_within(385.0, 400.0), voltage_within(379.0, 400.0)
    (True, False)
    """
    measured = positive_scalar("excitation voltage", v_measured_v)
    reference = positive_scalar("excitation voltage of the reference", v_reference_v)
    return measured * 100.0 >= reference * ENVELOPE.voltage_percent_above_knee
