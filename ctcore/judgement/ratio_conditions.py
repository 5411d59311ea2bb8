"""Whether a ratio was read at the burden and the current for which the class has its limits."""

from __future__ import annotations

from collections.abc import Iterable

from ctcore.errors import BadInput
from ctcore.job import Tap
from ctcore.judgement.cells import Trouble, number
from ctcore.judgement.limit import shown
from ctcore.judgement.spot import Spot
from ctcore.nameplate import AccuracyClass
from ctcore.standards import burden_range, power_factor_of_test, relay_burden, standard_burden

# Practice: a current or burden set to within 2 % of its nominal value counts as that value; common practice,
# no source.
SET_TO_PERCENT = 2.0
POWER_FACTOR_WITHIN = 0.05


def snapped_percent(percent: float, tabulated: Iterable[float]) -> float:
    """The tabulated current that a reading was set to, or the reading's own.

    >>> snapped_percent(99.2, [20.0, 100.0]), snapped_percent(60.0, [20.0, 100.0])
    (100.0, 60.0)
    """
    return next(
        (entry for entry in tabulated if abs(percent - entry) <= entry * SET_TO_PERCENT / 100.0), percent
    )


def burden_reasons(spot: Spot, tap: Tap, accuracy: AccuracyClass) -> tuple[str, ...]:
    """Why the burden in circuit does not let the class limits apply; empty where it does."""
    burden = number(spot.take.method, "burden_in_circuit_va")
    if isinstance(burden, Trouble):
        return (burden.text,)
    factor = number(spot.take.method, "burden_power_factor_ratio")
    if isinstance(factor, Trouble):
        return (factor.text,)
    try:
        wanted = _wanted(tap, accuracy, burden.value)
    except BadInput as refusal:
        return (f"The burden of the class is not known: {refusal.reason}.",)
    if wanted is None:
        return ("The plate states no burden for this class.",)
    low, high, power_factor = wanted
    slack = SET_TO_PERCENT / 100.0
    if not low * (1.0 - slack) <= burden.value <= high * (1.0 + slack):
        asked = shown("burden_in_circuit_va", low)
        asked += "" if low == high else f" to {shown('burden_in_circuit_va', high)}"
        used = shown("burden_in_circuit_va", burden.value)
        return (f"The burden in circuit is {used}, the class asks for {asked}.",)
    if abs(factor.value - power_factor) > POWER_FACTOR_WITHIN:
        return (f"The power factor of the burden is {factor.value:g}, the class asks for {power_factor:g}.",)
    return ()


def _wanted(tap: Tap, accuracy: AccuracyClass, burden_va: float) -> tuple[float, float, float] | None:
    """Lowest and highest burden in VA and the power factor that the class is judged at."""
    if accuracy.family == "ieee_metering":
        return _named_burden(tap, accuracy, burden_va)
    if accuracy.family == "tp":
        return _resistive_burden(tap, accuracy)
    if accuracy.c_voltage_v is not None:
        burden = relay_burden(accuracy.c_voltage_v, i_secondary_rated_a=tap.i_secondary_rated_a)
        return burden.output_va, burden.output_va, burden.power_factor
    if accuracy.output_va is None:
        return None
    found = burden_range(accuracy.class_name, accuracy.output_va, output_low_va=accuracy.output_low_va)
    return found.low_va, found.high_va, power_factor_of_test(burden_va)


def _resistive_burden(tap: Tap, accuracy: AccuracyClass) -> tuple[float, float, float] | None:
    if accuracy.rb_ohm is None:
        return None
    output_va = accuracy.rb_ohm * tap.i_secondary_rated_a**2
    return output_va, output_va, 1.0


def _named_burden(tap: Tap, accuracy: AccuracyClass, burden_va: float) -> tuple[float, float, float] | None:
    """The burden on the plate nearest to the one in circuit."""
    burdens = [
        standard_burden(name, i_secondary_rated_a=tap.i_secondary_rated_a) for name in accuracy.burden_names
    ]
    if not burdens:
        return None
    nearest = min(burdens, key=lambda entry: abs(entry.output_va - burden_va))
    return nearest.output_va, nearest.output_va, nearest.power_factor
