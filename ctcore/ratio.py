"""Ratio error, turns ratio error, phase displacement and correction factors, and the ways between them."""

from __future__ import annotations

import math

import numpy as np

from ctcore.checks import LEAST, Real, finite, positive, same_shape
from ctcore.checks import power_factor as checked_power_factor
from ctcore.errors import BadInput

ARCMIN_PER_RAD = 180.0 * 60.0 / math.pi
ARCMIN_PER_CRAD = ARCMIN_PER_RAD / 100.0
# IEEE C57.13, from memory: the slope of the metering parallelogram; tan(acos 0.6) of one minute is 1/2578.
TCF_ARCMIN = 2600.0


def ratio_error_percent(k_rated_ratio: Real, i_primary_a: Real, i_secondary_a: Real) -> Real:
    """Return the ratio error from primary and secondary current.

    Formula: 100 (k_r I_s - I_p) / I_p.
    Args: k_rated_ratio = I_pr/I_sr; currents in A r.m.s.; all above zero, scalar or array.
    Result: percent, negative when the secondary reads low.
    Valid for any current; a site current far below rated has no class limit.
    Raises BadInput for a value of zero or less.
    Source: IEC 61869-1:2007, 3.4.3.

    >>> round(ratio_error_percent(120, 600, 4.95), 6)
    -1.0
    """
    rated = positive("rated transformation ratio", k_rated_ratio)
    primary = positive("primary current", i_primary_a)
    secondary = positive("secondary current", i_secondary_a)
    same_shape("currents", rated, primary, secondary)
    return 100.0 * (rated * secondary - primary) / primary


def turns_ratio_error_percent(measured_ns_over_np: Real, rated_ns_over_np: Real) -> Real:
    """Return the turns ratio error in the sense of IEC, whose turns ratio is N_p/N_s.

    Formula: 100 (1/n_measured - 1/n_rated) / (1/n_rated) = 100 (n_rated/n_measured - 1), n = N_s/N_p.
    Args: both as N_s/N_p (599 and 600 for one missing turn), above zero, scalar or array.
    Result: percent; fewer secondary turns is positive, the sense of ratio error.
    Valid for a turns ratio, that is one taken from e.m.f., not from terminal voltage under load.
    Raises BadInput for a ratio of zero or less.
    Source: IEC 61869-2:2012, 3.4.218 and 3.4.219.

    >>> round(turns_ratio_error_percent(599, 600), 4)
    0.1669
    """
    measured = positive("measured turns ratio", measured_ns_over_np)
    rated = positive("rated turns ratio", rated_ns_over_np)
    same_shape("turns ratios", measured, rated)
    return 100.0 * (rated / measured - 1.0)


def turns_ratio_from_voltages(v_secondary_v: Real, v_primary_v: Real) -> Real:
    """Return N_s/N_p by the voltage method.

    Formula: V_s / V_p, the secondary excited, the primary open.
    Args: voltages in V r.m.s., above zero, scalar or array.
    Result: ratio N_s/N_p.
    Valid while the drop of the exciting current in the winding resistance is small against the voltage.
    Raises BadInput for a voltage of zero or less.
    Source: IEEE C57.13.1, voltage method (from memory).

    >>> turns_ratio_from_voltages(120.0, 0.5)
    240.0
    """
    secondary = positive("secondary voltage", v_secondary_v)
    primary = positive("primary voltage", v_primary_v)
    same_shape("voltages", secondary, primary)
    return secondary / primary


def tcf(rcf: Real, phase_displacement_arcmin: Real) -> Real:
    """Return the transformer correction factor of a current transformer.

    Formula: RCF - phase/2600.
    Args: rcf above zero; phase in minutes, positive when the secondary leads; scalar or array.
    Result: ratio, 1 for a perfect transformer.
    Valid for a metered load of power factor 0.6 to 1.0 lagging (the formula is for 0.6).
    Raises BadInput for an RCF of zero or less.
    Source: IEEE C57.13, from memory.

    >>> tcf(1.0, 26.0)
    0.99
    """
    factor = positive("RCF", rcf)
    phase = finite("phase displacement", phase_displacement_arcmin)
    same_shape("RCF and phase displacement", factor, phase)
    return factor - phase / TCF_ARCMIN


def tcf_exact(rcf: Real, phase_displacement_arcmin: Real, power_factor: Real = 0.6) -> Real:
    """Return the correction of metered power without the rounding of 2600.

    Formula: RCF cos(theta) / cos(theta - phase).
    Args: rcf above zero; phase in minutes, positive when the secondary leads; power factor of the load.
    Result: ratio.
    Valid for lagging loads and displacements below some hundred minutes.
    Raises BadInput for an RCF of zero or less or a power factor outside 0 to 1, or a
    displacement that leaves no metered power.
    Source: arithmetic, from P = U I cos(theta).

    >>> round(tcf_exact(1.002, 0.0), 9)
    1.002
    """
    factor = positive("RCF", rcf)
    phase = finite("phase displacement", phase_displacement_arcmin)
    cosine = checked_power_factor("power factor of the load", power_factor)
    same_shape("RCF, phase displacement and power factor", factor, phase, cosine)
    theta = np.arccos(cosine)
    metered = np.cos(theta - phase / ARCMIN_PER_RAD)
    if np.any(metered < LEAST):
        raise BadInput("phase displacement", phase_displacement_arcmin, "the metered power is not above zero")
    result = factor * cosine / metered
    return float(result) if np.ndim(result) == 0 else result


def rcf_from_ratio_error(ratio_error_percent: Real) -> Real:
    """Return the ratio correction factor, true ratio over marked ratio.

    Formula: 1 / (1 + e/100).
    Args: ratio error in percent, above -100, scalar or array.
    Result: ratio; above 1 when the secondary reads low.
    Valid for every possible ratio error.
    Raises BadInput at -100 % and below, where no current flows.
    Source: arithmetic.

    >>> rcf_from_ratio_error(-20.0)
    1.25
    """
    error = finite("ratio error", ratio_error_percent)
    if np.any(np.less_equal(error, -100.0)):
        raise BadInput("ratio error", ratio_error_percent, "the value is above -100 %")
    return 1.0 / (1.0 + error / 100.0)


def ratio_error_from_rcf(rcf: Real) -> Real:
    """Return the ratio error that belongs to a ratio correction factor.

    Formula: 100 (1/RCF - 1).
    Args: rcf above zero, scalar or array.
    Result: percent, negative when RCF is above 1.
    Valid for every possible RCF.
    Raises BadInput for an RCF of zero or less.
    Source: arithmetic.

    >>> ratio_error_from_rcf(1.25)
    -20.0
    """
    factor = positive("RCF", rcf)
    # As a difference first: close to 1 it keeps the digits that 1/RCF - 1 would lose.
    return 100.0 * (1.0 - factor) / factor


def composite_error_from_errors_percent(ratio_error_percent: Real, phase_displacement_arcmin: Real) -> Real:
    """Return the composite error of sinusoidal currents from ratio error and phase displacement.

    Formula: 100 |(1 + e/100) exp(j phase) - 1|, about sqrt(e^2 + phase^2) with phase in centiradians.
    Args: ratio error in percent, phase in minutes, scalar or array.
    Result: percent, zero or more.
    Valid for sinusoidal currents; in saturation the composite error is larger.
    Raises BadInput for values that are not finite.
    Source: IEC 61869-2:2012, 3.4.203.

    >>> round(composite_error_from_errors_percent(3.0, 0.0), 9)
    3.0
    """
    error = finite("ratio error", ratio_error_percent)
    phase = finite("phase displacement", phase_displacement_arcmin)
    same_shape("ratio error and phase displacement", error, phase)
    result = 100.0 * np.abs((1.0 + error / 100.0) * np.exp(1j * phase / ARCMIN_PER_RAD) - 1.0)
    return float(result) if np.ndim(result) == 0 else result


def arcmin_from_crad(phase_displacement_crad: Real) -> Real:
    """Return minutes from centiradians.

    Formula: 10800 / (100 pi) minutes per centiradian.
    Args: centiradians, scalar or array.
    Result: minutes, same sign.
    Valid always; printed centiradians are rounded, so decide in minutes.
    Raises BadInput for a value that is not finite.
    Source: arithmetic.

    >>> round(arcmin_from_crad(0.873), 1)
    30.0
    """
    return finite("phase displacement", phase_displacement_crad) * ARCMIN_PER_CRAD


def compared_with_standard(reading: Real, error_of_standard: Real) -> Real:
    """Return the error of a transformer that was compared with a standard of known error.

    Formula: reading + error of the standard, to the first order.
    Args: both in the same unit, percent or minutes, scalar or array.
    Result: the error in that unit and sense.
    Valid while the product of the two errors is negligible.
    Raises BadInput for values that are not finite.
    Source: arithmetic; common practice, no source.

    >>> compared_with_standard(-0.5, -0.25)
    -0.75
    """
    read = finite("reading", reading)
    standard = finite("error of the standard", error_of_standard)
    same_shape("reading and standard", read, standard)
    return read + standard
