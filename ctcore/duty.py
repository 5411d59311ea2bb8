"""Whether a core suits its duty: offset fault currents, time to saturation, high-impedance schemes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ctcore.checks import LEAST, not_negative_scalar, positive_scalar, scalar
from ctcore.errors import BadInput

LIMIT_FACTOR_C = 20.0


@dataclass(frozen=True, slots=True)
class SaturationCheck:
    """The demand of a fault in per unit of the class against what the class gives (20 less remanence)."""

    demand_ratio: float
    capability_ratio: float

    @property
    def saturates(self) -> bool:
        """Whether the demand is above the capability."""
        return self.demand_ratio > self.capability_ratio


@dataclass(frozen=True, slots=True)
class TransientFactor:
    """Largest transient factor, when it occurs, and when a saturation factor is first reached."""

    highest_ratio: float
    t_highest_s: float
    t_saturation_s: float | None


def saturation_check(
    x_over_r_ratio: float,
    i_fault_primary_a: float,
    *,
    ns_over_np: float,
    i_secondary_rated_a: float,
    z_burden_ohm: float,
    c_voltage_v: float,
    remanence_ratio: float = 0.0,
) -> SaturationCheck:
    """Return the demand of a fully offset fault against a C class.

    Formula: (X/R + 1) (I_f/n/I_sr) (Z_b/Z_std) against 20 (1 - remanence), Z_std = V_C/(20 I_sr).
    Args: X/R of the fault, zero or more; symmetrical fault current in A; turns ratio in use; rated secondary
    current in A; burden in ohm, winding included where the class voltage counts it; class voltage in V;
    remanence as a share of saturation flux, 0 to below 1.
    Result: `SaturationCheck`, both per unit.
    Valid for a resistive burden and full offset.
    Raises BadInput for impossible values.
    Source: IEEE C37.110 form; electricpy, function ct_saturation.

    >>> saturation_check(
    ...     12, 12000, ns_over_np=240, i_secondary_rated_a=5, z_burden_ohm=1, c_voltage_v=400).demand_ratio
    32.5
    """
    offset = not_negative_scalar("X/R", x_over_r_ratio) + 1.0
    fault = positive_scalar("fault current", i_fault_primary_a)
    rated = positive_scalar("rated secondary current", i_secondary_rated_a)
    secondary = fault / positive_scalar("turns ratio", ns_over_np) / rated
    standard = positive_scalar("class voltage", c_voltage_v) / (LIMIT_FACTOR_C * rated)
    share = positive_scalar("burden", z_burden_ohm) / standard
    remanence = not_negative_scalar("remanence", remanence_ratio)
    if remanence >= 1.0:
        raise BadInput("remanence", remanence_ratio, "it lies below 1, the saturation flux")
    return SaturationCheck(offset * secondary * share, LIMIT_FACTOR_C * (1.0 - remanence))


def time_constant_s(x_over_r_ratio: float, f_hz: float) -> float:
    """Return the primary time constant of a fault.

    Formula: T1 = (X/R) / (2 pi f).
    Args: X/R and Hz, above zero.
    Result: s.
    Valid for one source.
    Raises BadInput for values of zero or less.
    Source: arithmetic.

    >>> round(time_constant_s(12, 60), 6)
    0.031831
    """
    ratio = positive_scalar("X/R", x_over_r_ratio)
    return ratio / (2.0 * math.pi * positive_scalar("frequency", f_hz))


def time_to_saturation_s(saturation_factor: float, x_over_r_ratio: float, f_hz: float) -> float | None:
    """Return when a core saturates in a fully offset fault with a resistive burden; None for never.

    Formula: K_s = w T1 (1 - exp(-t/T1)) + 1, so t = -T1 ln(1 - (K_s - 1)/(w T1)).
    Args: saturation factor K_s (knee over e.m.f. of the symmetrical fault) above 1; X/R; Hz.
    Result: s, or None when K_s is never reached.
    Valid for full offset, no remanence, and a magnetising branch that takes nothing.
    Raises BadInput for K_s of 1 or less, where it saturates by the symmetrical part, or values of zero or
    less.
    Source: IEEE C37.110-2007 (from memory).

    >>> round(time_to_saturation_s(5.0, 12.0, 60), 5)
    0.01291
    """
    factor = _saturation_factor(saturation_factor)
    t1_s = time_constant_s(x_over_r_ratio, f_hz)
    # w T1 is X/R.
    share = (factor - 1.0) / float(x_over_r_ratio)
    return None if share >= 1.0 else -t1_s * math.log1p(-share)


def transient_factor(
    saturation_factor: float, t1_s: float, t2_s: float, *, f_hz: float = 50.0
) -> TransientFactor:
    """Return the transient factor with a finite secondary time constant, and when a core saturates.

    Formula: K_tf(t) = w T1 T2/(T1 - T2) (exp(-t/T1) - exp(-t/T2)) + 1; greatest at
    t = T1 T2/(T1 - T2) ln(T1/T2).
    Args: saturation factor above 1; primary and secondary time constant in s, above zero and unlike; Hz.
    Result: `TransientFactor`; `t_saturation_s` is None when the factor is never reached.
    Valid for full offset and no remanence.
    Raises BadInput for a factor of 1 or less, equal time constants, or values of zero or less.
    Source: IEC 61869-2:2012, Annex 2B (from memory).

    >>> round(transient_factor(5.0, 0.05, 0.5).highest_ratio, 2)
    13.16
    """
    factor = _saturation_factor(saturation_factor)
    primary = positive_scalar("primary time constant", t1_s)
    secondary = positive_scalar("secondary time constant", t2_s)
    omega = 2.0 * math.pi * positive_scalar("frequency", f_hz)
    if abs(primary - secondary) < 1e-6 * primary:
        raise BadInput("secondary time constant", t2_s, "it differs from the primary time constant")
    scale = primary * secondary / (primary - secondary)

    def at(t_s: float) -> float:
        return omega * scale * (math.exp(-t_s / primary) - math.exp(-t_s / secondary)) + 1.0

    t_highest = scale * math.log(primary / secondary)
    highest = at(t_highest)
    if highest < factor:
        return TransientFactor(highest, t_highest, None)
    low, high = 0.0, t_highest
    while high - low > 1e-12 * t_highest + LEAST:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if at(middle) >= factor else (middle, high)
    return TransientFactor(highest, t_highest, high)


def stabilising_voltage_v(
    i_through_fault_a: float, ns_over_np: float, *, r_winding_ohm: float, r_loop_ohm: float
) -> float:
    """Return the voltage across a high-impedance relay when one transformer is fully saturated.

    Formula: V_s = I_f/n (R_ct + R_loop).
    Args: greatest through-fault current in A r.m.s.; turns ratio in use; winding resistance at 75 degC and
    resistance of the lead loop, there and back, in ohm.
    Result: V; the relay is set above it.
    Valid for like transformers on one turns ratio.
    Raises BadInput for a current or ratio of zero or less, or negative resistances.
    Source: common practice, no source.

    >>> stabilising_voltage_v(12000.0, 600.0, r_winding_ohm=3.0, r_loop_ohm=2.0)
    100.0
    """
    fault = positive_scalar("through-fault current", i_through_fault_a)
    secondary = fault / positive_scalar("turns ratio", ns_over_np)
    winding = not_negative_scalar("winding resistance", r_winding_ohm)
    loop = not_negative_scalar("resistance of the loop", r_loop_ohm)
    return secondary * (winding + loop)


def knee_for_high_impedance_v(v_setting_v: float) -> float:
    """Return the least knee voltage of a transformer for a high-impedance relay.

    Formula: V_k = 2 V_setting.
    Args: setting voltage in V, above zero.
    Result: V, by the knee definition of the class.
    Valid as the usual least value; the owner's rule comes first.
    Raises BadInput for a voltage of zero or less.
    Source: common practice, no source.

    >>> knee_for_high_impedance_v(100.0)
    200.0
    """
    return 2.0 * positive_scalar("setting voltage", v_setting_v)


def stabilising_resistor_ohm(v_setting_v: float, i_setting_a: float, *, r_relay_ohm: float = 0.0) -> float:
    """Return the resistor in series with a current relay that makes it stable at a voltage.

    Formula: R_st = V_s/I_s - R_relay.
    Args: setting voltage in V and setting current in A, above zero; resistance of the relay in ohm.
    Result: ohm.
    Valid for a relay that works on current.
    Raises BadInput where the relay alone has more resistance than is needed.
    Source: common practice, no source.

    >>> stabilising_resistor_ohm(100.0, 0.05, r_relay_ohm=200.0)
    1800.0
    """
    whole = positive_scalar("setting voltage", v_setting_v) / positive_scalar("setting current", i_setting_a)
    relay = not_negative_scalar("resistance of the relay", r_relay_ohm)
    if relay > whole:
        raise BadInput("resistance of the relay", r_relay_ohm, "the relay alone has more than is needed")
    return whole - relay


def knee_required_v(
    factor_k_ratio: float,
    i_fault_primary_a: float,
    *,
    ns_over_np: float,
    r_winding_ohm: float,
    r_loop_ohm: float,
    r_relay_ohm: float = 0.0,
) -> float:
    """Return the knee voltage that a relay asks for, with the factor of its maker.

    Formula: V_k = K I_f/n (R_ct + R_loop + R_relay).
    Args: the factor K, which belongs to one relay and one setting and is the user's to enter; fault current
    in A; turns ratio in use; winding resistance at 75 degC, loop of the leads and relay in ohm.
    Result: V, by the knee definition that the maker names.
    Valid where the maker states his requirement in this form.
    Raises BadInput for values of zero or less, or negative resistances.
    Source: common practice, no source; the factor is the user's.

    >>> knee_required_v(2.0, 12000.0, ns_over_np=600.0, r_winding_ohm=3.0, r_loop_ohm=2.0)
    200.0
    """
    factor = positive_scalar("factor", factor_k_ratio)
    relay = not_negative_scalar("resistance of the relay", r_relay_ohm)
    loop = not_negative_scalar("resistance of the loop", r_loop_ohm)
    return factor * stabilising_voltage_v(
        i_fault_primary_a, ns_over_np, r_winding_ohm=r_winding_ohm, r_loop_ohm=loop + relay
    )


def saturation_free_voltage_v(
    i_fault_primary_a: float,
    x_over_r_ratio: float,
    *,
    ns_over_np: float,
    z_total_ohm: float,
    remanence_ratio: float = 0.0,
) -> float:
    """Return the saturation voltage that passes a fully offset fault without saturating.

    Formula: V_x = I_f/n Z (1 + X/R) / (1 - remanence).
    Args: symmetrical fault current in A; X/R of the fault, zero or more; turns ratio in use; burden and
    winding together in ohm; remanence as a share of saturation flux, 0 to below 1.
    Result: V r.m.s.
    Valid for a resistive burden and full offset; remanence in the worst direction.
    Raises BadInput for impossible values.
    Source: IEEE C37.110-2007 (from memory).

    >>> saturation_free_voltage_v(12000.0, 11.0, ns_over_np=600.0, z_total_ohm=5.0, remanence_ratio=0.5)
    2400.0
    """
    secondary = positive_scalar("fault current", i_fault_primary_a) / positive_scalar(
        "turns ratio", ns_over_np
    )
    offset = 1.0 + not_negative_scalar("X/R", x_over_r_ratio)
    remanence = not_negative_scalar("remanence", remanence_ratio)
    if remanence >= 1.0:
        raise BadInput("remanence", remanence_ratio, "it lies below 1, the saturation flux")
    return secondary * positive_scalar("burden and winding", z_total_ohm) * offset / (1.0 - remanence)


def peak_voltage_v(v_knee_v: float, v_fault_v: float) -> float | None:
    """Return the peak voltage across a high-impedance relay in an internal fault, without a limiter.

    Formula: V_p = 2 sqrt(2 V_k (V_f - V_k)), V_f the voltage if no core saturated.
    Args: knee voltage and V_f in V r.m.s., above zero.
    Result: V peak, or None where V_f does not reach the knee and the formula says nothing.
    Valid as an estimate; compare with what relay, wiring and terminals withstand.
    Raises BadInput for voltages of zero or less.
    Source: common practice, no source.

    >>> round(peak_voltage_v(200.0, 3400.0), 1)
    2262.7
    """
    knee = positive_scalar("knee voltage", v_knee_v)
    fault = positive_scalar("voltage of the internal fault", v_fault_v)
    return None if fault <= knee else 2.0 * math.sqrt(2.0 * knee * (fault - knee))


def operating_current_primary_a(
    ns_over_np: float,
    i_relay_a: float,
    *,
    transformers_count: int,
    i_excitation_a: float,
    i_limiter_a: float = 0.0,
) -> float:
    """Return the primary current at which a high-impedance scheme operates.

    Formula: n (I_relay + k I_e + I_limiter), the currents at the setting voltage, added as sizes.
    Args: turns ratio in use; relay current in A; number of transformers in parallel and the exciting current
    of each in A at the setting voltage; current of the limiter in A.
    Result: A primary; slightly high, since the currents are not in phase.
    Valid at the setting voltage.
    Raises BadInput for a ratio of zero or less, negative currents, or no transformer.
    Source: common practice, no source.

    >>> operating_current_primary_a(600.0, 0.02, transformers_count=3, i_excitation_a=0.01)
    30.0
    """
    ratio = positive_scalar("turns ratio", ns_over_np)
    relay = not_negative_scalar("relay current", i_relay_a)
    exciting = not_negative_scalar("exciting current", i_excitation_a)
    limiter = not_negative_scalar("limiter current", i_limiter_a)
    count = scalar("number of transformers", transformers_count)
    if count < 1.0 or not count.is_integer():
        reason = "there is at least one, and a whole number of them"
        raise BadInput("number of transformers", transformers_count, reason)
    return ratio * (relay + count * exciting + limiter)


def _saturation_factor(value: float) -> float:
    factor = positive_scalar("saturation factor", value)
    if factor <= 1.0:
        raise BadInput("saturation factor", value, "the symmetrical current alone saturates the core")
    return factor
