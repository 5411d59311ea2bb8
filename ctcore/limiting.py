"""Limiting e.m.f.s and limit factors: how far a core follows its primary current before it saturates."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Protocol

import numpy as np

from ctcore.checks import (
    LEAST,
    Complex,
    Real,
    impedance,
    not_negative,
    not_negative_scalar,
    positive,
    positive_scalar,
    same_shape,
    scalar_impedance,
)
from ctcore.errors import BadInput

_SEARCH_COUNT = 401


class ExcitationCurve(Protocol):
    """What the functions here need of a curve and `ctcore.curve.Curve` has: bounds and interpolation."""

    @property
    def voltage_first_v(self) -> float:
        """Lowest voltage of the curve."""
        ...

    @property
    def voltage_last_v(self) -> float:
        """Highest voltage of the curve."""
        ...

    def current_a(self, voltage_v: Any, /) -> Any:
        """Exciting current in A r.m.s. at a voltage or an array of voltages."""
        ...


def emf_v(limit_factor: Real, i_secondary_rated_a: Real, r_winding_ohm: Real, z_burden_ohm: Complex) -> Real:
    """Return the secondary limiting e.m.f.: E_ALF with the accuracy limit factor, E_FS with the security
    factor.

    Formula: E = F I_sr |R_ct + Z_b|, the vector sum sqrt((R_ct + R_b)^2 + X_b^2).
    Args: factor and rated secondary current above zero; R_ct in ohm at 75 degC, zero or more; Z_b complex
    ohm;
    scalar or array.
    Result: V r.m.s.
    Valid for a winding of negligible leakage reactance.
    Raises BadInput for a factor or current of zero or less, negative resistance, or no impedance at all.
    Source: IEC 61869-2:2012, 3.4.209 and 3.4.206.

    >>> round(emf_v(20, 1.0, 5.0, 12 + 9j), 1)
    384.7
    """
    factor = positive("limit factor", limit_factor)
    current = positive("rated secondary current", i_secondary_rated_a)
    size = _loop_ohm(r_winding_ohm, z_burden_ohm)
    same_shape("factor, current and impedance", factor, current, size)
    return factor * current * size


def emf_arithmetic_v(
    limit_factor: float, i_secondary_rated_a: float, r_winding_ohm: float, z_burden_ohm: complex
) -> float:
    """Return the e.m.f. by adding sizes instead of phasors, the stricter of the two forms in use for class C.

    Formula: E = F I_sr (R_ct + |Z_b|); for class C the second term is the class voltage.
    Args: as `emf_v`, scalar.
    Result: V r.m.s., never below the vector sum.
    Valid as the stricter comparison: passing by the vector sum alone is to be referred.
    Raises BadInput as `emf_v`.
    Source: common practice, no source.

    >>> round(emf_arithmetic_v(20, 5.0, 0.5, 2 + 3.4641016j), 3)
    450.0
    """
    factor = positive_scalar("limit factor", limit_factor)
    current = positive_scalar("rated secondary current", i_secondary_rated_a)
    resistance = not_negative_scalar("winding resistance", r_winding_ohm)
    size = resistance + abs(scalar_impedance("burden", z_burden_ohm))
    if size < LEAST:
        raise BadInput("burden", z_burden_ohm, "winding and burden together have no impedance")
    return factor * current * size


def composite_error_percent(
    curve: ExcitationCurve,
    limit_factor: float,
    i_secondary_rated_a: float,
    r_winding_ohm: float,
    z_burden_ohm: complex,
) -> float:
    """Return the composite error at the limit current by the indirect method.

    Formula: 100 I_e(E) / (F I_sr), E the limiting e.m.f. of `emf_v`.
    Args: measured curve; factor, rated secondary current in A, R_ct at 75 degC in ohm, Z_b complex ohm.
    Result: percent, above zero.
    Valid for low-leakage cores; else a pass proves nothing.
    Raises BadInput as `emf_v`, and when E lies outside the readings of the curve.
    Source: IEC 61869-2:2012, 7.2.6.203 b); the quotient is from memory.

    >>> from ctcore.curve import Curve
    >>> curve = Curve([100.0, 200.0, 300.0, 400.0], [0.01, 0.02, 0.05, 1.0])
    >>> round(composite_error_percent(curve, 20, 1.0, 8.0, 12.0), 6)
    5.0
    """
    _measured(curve)
    emf = _scalar_emf(limit_factor, i_secondary_rated_a, r_winding_ohm, z_burden_ohm)
    exciting = float(curve.current_a(emf))
    return 100.0 * exciting / (float(limit_factor) * float(i_secondary_rated_a))


def operating_factor(
    curve: ExcitationCurve,
    i_secondary_rated_a: float,
    r_winding_ohm: float,
    z_burden_ohm: complex,
    limit_percent: float,
) -> float:
    """Return the limit factor that the core reaches with a burden, from its curve.

    Formula: the greatest F at which 100 I_e(F I_sr |R_ct + Z_b|) / (F I_sr) rises through the limit.
    Args: measured curve; rated secondary current in A, R_ct in ohm, Z_b complex ohm of the connected burden;
    limit in percent (5 for 5P, 10 for 10P and the security factor).
    Result: factor, above zero.
    Valid for low-leakage cores, inside the readings.
    Raises BadInput when the readings end before the limit (naming the last factor reached) or already lie
    above it from the first, and as `emf_v`.
    Source: IEC 61869-2:2012, 3.4.208 and 7.2.6.203.

    >>> from ctcore.curve import Curve
    >>> curve = Curve([100.0, 200.0, 300.0, 400.0], [0.01, 0.02, 0.05, 1.0])
    >>> round(operating_factor(curve, 1.0, 8.0, 12.0, 5.0), 6)
    20.0
    """
    _measured(curve)
    current = positive_scalar("rated secondary current", i_secondary_rated_a)
    limit = positive_scalar("limit of the composite error", limit_percent)
    size = float(_loop_ohm(r_winding_ohm, z_burden_ohm))

    def excess(ln_v: Any) -> Any:
        # 100 I_e / (F I_sr) with F I_sr = V / |Z|, less the limit; inside the bounds whatever exp() rounds
        # to.
        volt = np.clip(np.exp(ln_v), curve.voltage_first_v, curve.voltage_last_v)
        return 100.0 * size * np.asarray(curve.current_a(volt)) / volt - limit

    grid = np.linspace(math.log(curve.voltage_first_v), math.log(curve.voltage_last_v), _SEARCH_COUNT)
    over = excess(grid) >= -1e-9 * limit
    last_factor = curve.voltage_last_v / (current * size)
    if not over[-1]:
        reason = f"the readings end at a factor of {last_factor:.4g} before the error reaches {limit:g} %"
        raise BadInput("limit factor", last_factor, reason)
    below = np.flatnonzero(~over)
    if below.size == 0:
        reason = f"the error lies above {limit:g} % from the first reading on"
        raise BadInput("limit factor", curve.voltage_first_v / (current * size), reason)
    low = int(below[-1])
    ln_v = _crossing(excess, float(grid[low]), float(grid[low + 1]))
    return math.exp(ln_v) / (current * size)


def operating_factor_from_plate(
    limit_factor: Real, r_winding_ohm: Real, z_rated_ohm: Complex, z_connected_ohm: Complex
) -> Real:
    """Return the accuracy limit or security factor with the connected burden, from the plate alone.

    Formula: F |R_ct + Z_n| / |R_ct + Z_a|.
    Args: rated factor; R_ct in ohm; rated and connected burden in complex ohm; scalar or array.
    Result: factor; it grows when the burden is light.
    Valid as an estimate: the true factor comes from the curve.
    Raises BadInput for a factor of zero or less, negative resistance, or no impedance at all.
    Source: IEC 61869-2:2012, note to 3.4.205, and protection application literature.

    >>> operating_factor_from_plate(20.0, 1.0, 9.0, 4.0)
    40.0
    """
    factor = positive("limit factor", limit_factor)
    rated = _loop_ohm(r_winding_ohm, z_rated_ohm)
    connected = _loop_ohm(r_winding_ohm, z_connected_ohm)
    same_shape("factor and burdens", factor, rated, connected)
    return factor * rated / connected


def rated_factor_needed(
    factor_wanted: float, r_winding_ohm: float, z_rated_ohm: complex, z_connected_ohm: complex
) -> float:
    """Return the rated limit factor that gives the factor wanted with the connected burden.

    Formula: F |R_ct + Z_a| / |R_ct + Z_n|.
    Args: factor wanted; R_ct in ohm; rated and connected burden in complex ohm.
    Result: factor; the next standard value above it is chosen.
    Valid as `operating_factor_from_plate`, whose inverse it is.
    Raises BadInput as `operating_factor_from_plate`.
    Source: arithmetic.

    >>> rated_factor_needed(20.0, 3.0, 5.0, 0.6)
    9.0
    """
    factor = positive_scalar("limit factor wanted", factor_wanted)
    resistance = not_negative_scalar("winding resistance", r_winding_ohm)
    rated, connected = (
        float(_loop_ohm(resistance, scalar_impedance(f"{name} burden", ohm)))
        for name, ohm in (("rated", z_rated_ohm), ("connected", z_connected_ohm))
    )
    return factor * connected / rated


def standard_factor_at_least(factor: float) -> float | None:
    """Return the smallest standard accuracy limit factor at or above a value; None beyond the last.

    Formula: none, a look-up.
    Args: factor above zero.
    Result: 5, 10, 15, 20 or 30, or None.
    Valid for 5P, 10P, 5PR and 10PR.
    Raises BadInput for a factor of zero or less.
    Source: IEC 61869-2:2012, 5.6.202.2.

    >>> standard_factor_at_least(9.0)
    10.0
    """
    from ctcore.standards.iec_61869_2_2012 import STANDARD_VALUES

    needed = positive_scalar("limit factor", factor)
    (row,) = (row for row in STANDARD_VALUES if row.quantity == "accuracy limit factor")
    return next((float(value) for value in row.values if value >= needed), None)


def exciting_current_limit_a(limit_factor: float, i_secondary_rated_a: float, limit_percent: float) -> float:
    """Return the exciting current that the class permits at the limiting e.m.f.

    Formula: F I_sr e/100.
    Args: factor and rated secondary current above zero; limit in percent (5 for 5P, 10 for 10P, FS and C).
    Result: A r.m.s.
    Valid for the indirect method.
    Raises BadInput for values of zero or less.
    Source: IEC 61869-2:2012, 7.2.6.203 b); the quotient is from memory.

    >>> exciting_current_limit_a(20, 5.0, 10.0)
    10.0
    """
    factor = positive_scalar("limit factor", limit_factor)
    current = positive_scalar("rated secondary current", i_secondary_rated_a)
    return factor * current * positive_scalar("limit of the composite error", limit_percent) / 100.0


def factor_at_current(limit_factor: float, i_primary_rated_a: float, i_reference_a: float) -> float:
    """Return a limit factor as a multiple of another primary current, such as that of the protected object.

    Formula: F I_pr / I_reference.
    Args: rated factor; rated primary current and the reference current in A, above zero.
    Result: factor.
    Valid with the rated burden connected.
    Raises BadInput for values of zero or less.
    Source: arithmetic; protection-relay application literature.

    >>> factor_at_current(30, 1500, 1000)
    45.0
    """
    factor = positive_scalar("limit factor", limit_factor)
    rated = positive_scalar("rated primary current", i_primary_rated_a)
    return factor * rated / positive_scalar("reference current", i_reference_a)


def knee_from_dimensioning_v(
    dimensioning_factor: float, i_secondary_rated_a: float, r_winding_ohm: float, r_burden_ohm: float
) -> float:
    """Return the rated knee e.m.f. of a class PX core from its dimensioning factor.

    Formula: E_k = K_x (R_ct + R_b) I_sr.
    Args: K_x and rated secondary current above zero; R_ct at 75 degC and R_b in ohm.
    Result: V.
    Valid for PX and PXR; the same form gives the knee that an accuracy limit factor implies.
    Raises BadInput for a factor or current of zero or less, or negative resistances.
    Source: IEC 61869-2:2012, 5.6.202.4 (from memory).

    >>> knee_from_dimensioning_v(30, 1.0, 4.0, 6.0)
    300.0
    """
    burden = not_negative_scalar("burden", r_burden_ohm)
    return _scalar_emf(dimensioning_factor, i_secondary_rated_a, r_winding_ohm, complex(burden))


def emf_transient_v(
    kssc: float, ktd: float, i_secondary_rated_a: float, r_winding_ohm: float, r_burden_ohm: float
) -> float:
    """Return the rated equivalent limiting secondary e.m.f. E_al of a TP core.

    Formula: E_al = K_ssc K_td (R_ct + R_b) I_sr.
    Args: K_ssc, K_td and rated secondary current above zero; R_ct at 75 degC and R_b in ohm.
    Result: V r.m.s.
    Valid for TPX, TPY and TPZ.
    Raises BadInput for factors or a current of zero or less, or negative resistances.
    Source: IEC 61869-2:2012, 3.4.237 and Annex 2B (from memory).

    >>> emf_transient_v(20, 12, 1.0, 5.0, 10.0)
    3600.0
    """
    transient = positive_scalar("transient dimensioning factor Ktd", ktd)
    burden = not_negative_scalar("burden", r_burden_ohm)
    emf = _scalar_emf(kssc, i_secondary_rated_a, r_winding_ohm, complex(burden))
    return transient * emf


def peak_exciting_current_a(
    kssc: float, i_secondary_rated_a: float, peak_error_percent: float = 10.0
) -> float:
    """Return the peak exciting current that TPX and TPY permit at E_al.

    Formula: sqrt(2) I_sr K_ssc e/100.
    Args: K_ssc and rated secondary current above zero; peak instantaneous error in percent.
    Result: A peak.
    Valid for TPX and TPY.
    Raises BadInput for values of zero or less.
    Source: IEC 61869-2:2012, Annex 2B (from memory).

    >>> round(peak_exciting_current_a(20, 1.0), 3)
    2.828
    """
    factor = positive_scalar("Kssc", kssc)
    current = positive_scalar("rated secondary current", i_secondary_rated_a)
    error = positive_scalar("peak instantaneous error", peak_error_percent)
    return math.sqrt(2.0) * current * factor * error / 100.0


def peak_exciting_current_tpz_a(
    kssc: float, ktd: float, i_secondary_rated_a: float, *, ts_s: float, f_hz: float = 50.0
) -> float:
    """Return the peak exciting current that TPZ permits at E_al.

    Formula: sqrt(2) I_sr K_ssc ((K_td - 1)/(2 pi f T_s) + 10 %).
    Args: K_ssc, K_td of 1 or more, rated secondary current in A, T_s in s, frequency in Hz.
    Result: A peak.
    Valid for TPZ.
    Raises BadInput for values of zero or less, or K_td below 1.
    Source: IEC 61869-2:2012, Annex 2B (from memory).

    >>> round(peak_exciting_current_tpz_a(20, 1.0, 1.0, ts_s=0.06), 3)
    2.828
    """
    transient = positive_scalar("Ktd", ktd)
    if transient < 1.0:
        raise BadInput("Ktd", ktd, "the transient dimensioning factor is 1 or more")
    omega_ts = 2.0 * math.pi * positive_scalar("frequency", f_hz) * positive_scalar("Ts", ts_s)
    error_percent = 100.0 * (transient - 1.0) / omega_ts + 10.0
    return peak_exciting_current_a(kssc, i_secondary_rated_a, error_percent)


def _measured(curve: object) -> None:
    if not hasattr(curve, "current_a"):
        raise BadInput("curve", curve, "a measured curve is needed")


def _scalar_emf(
    limit_factor: float, i_secondary_rated_a: float, r_winding_ohm: float, z_burden_ohm: complex
) -> float:
    emf = emf_v(limit_factor, i_secondary_rated_a, r_winding_ohm, z_burden_ohm)
    if not isinstance(emf, float):
        raise BadInput("limiting e.m.f.", emf, "one operating point is needed, not an array")
    return emf


def _loop_ohm(r_winding_ohm: Real, z_burden_ohm: Complex) -> Real:
    resistance = not_negative("winding resistance", r_winding_ohm)
    burden = impedance("burden", z_burden_ohm)
    same_shape("winding resistance and burden", resistance, burden)
    size = np.abs(resistance + burden)
    if np.any(size < LEAST):
        raise BadInput("burden", z_burden_ohm, "winding and burden together have no impedance")
    return float(size) if np.ndim(size) == 0 else size


def _crossing(excess: Callable[[Any], Any], low: float, high: float) -> float:
    """Narrow an upward crossing down to the last bits, 32 parts at a time: few calls, any interpolant."""
    while high - low > 1e-13 * max(1.0, abs(high)):
        places = np.linspace(low, high, 33)
        over = np.asarray(excess(places)) >= 0.0
        over[-1] = True
        first = max(1, int(np.argmax(over)))
        low, high = float(places[first - 1]), float(places[first])
    return high
