"""Errors of a transformer from its exciting admittance: the indirect method, the secondary as reference."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from ctcore.checks import (
    LEAST,
    Complex,
    Real,
    finite_complex,
    impedance,
    not_negative,
    not_negative_scalar,
    positive,
    positive_scalar,
    same_shape,
    scalar,
)
from ctcore.errors import BadInput
from ctcore.ratio import ARCMIN_PER_RAD

Admittance = Complex | Callable[[Any], Any]


@dataclass(frozen=True, slots=True)
class TransferErrors:
    """What a transformer does to its primary current; floats, or arrays where an argument was an array.

    Ratio error is negative when the secondary reads low, phase displacement positive when it leads; `emf_v`
    and `i_excitation_a` are magnitudes on the secondary side.
    """

    ratio_error_percent: Real
    phase_displacement_arcmin: Real
    composite_error_percent: Real
    rcf: Real
    emf_v: Real
    i_excitation_a: Real


@dataclass(frozen=True, slots=True)
class ErrorBounds:
    """How far the exciting current can move the errors when its angle is not known.

    Ratio error less turns ratio error lies within plus or minus `ratio_error_percent`, the phase displacement
    within plus or minus `phase_displacement_arcmin`.
    """

    ratio_error_percent: float
    phase_displacement_arcmin: float


@dataclass(frozen=True, slots=True)
class PrimaryCurrent:
    """Primary current and errors from the components of the exciting current, referred to the primary."""

    i_primary_a: float
    ratio_error_percent: float
    phase_displacement_arcmin: float
    rcf: float


def errors(
    k_rated_ratio: Real,
    ns_over_np: Real,
    i_secondary_a: Real,
    r_winding_ohm: Real,
    z_burden_ohm: Complex,
    y_excitation_s: Admittance,
) -> TransferErrors:
    """Return ratio error, phase displacement and composite error from the exciting admittance.

    Formula: E = I_s (R_ct + Z_b); I_e = Y_e(|E|) E; I_p = (N_s/N_p)(I_s + I_e);
    ratio error 100 (k_r I_s - I_p)/I_p; phase = arg(I_s/I_p); composite 100 |k_r I_s - I_p|/I_p (phasors).
    Args: k_rated_ratio = I_pr/I_sr; ns_over_np the turns ratio in use; i_secondary_a in A, the real
    reference;
    R_ct in ohm at the temperature in question; Z_b complex ohm; y_excitation_s = G - jB in S, a complex
    number
    or a function of the magnitude of the e.m.f. in V; scalar or array, one shape.
    Result: `TransferErrors`.
    Valid for sinusoidal currents and a winding of negligible leakage reactance.
    Raises BadInput for ratios or currents of zero or less, negative resistances, an admittance that is not
    finite, or a primary current of zero.
    Source: IEC 61869-2:2012, 3.4.3, 3.4.4, Annex 2A and Annex 2E.

    >>> round(errors(100, 100, 5.0, 0.0, 1.0, 0.01).ratio_error_percent, 4)
    -0.9901
    """
    rated = positive("rated transformation ratio", k_rated_ratio)
    turns = positive("turns ratio", ns_over_np)
    secondary = positive("secondary current", i_secondary_a)
    resistance = not_negative("winding resistance", r_winding_ohm)
    burden = impedance("burden", z_burden_ohm)
    same_shape("arguments", rated, turns, secondary, resistance, burden)
    emf = secondary * (resistance + burden)
    admittance = _admittance(y_excitation_s, np.abs(emf))
    same_shape("e.m.f. and admittance", rated, turns, emf, admittance)
    exciting = admittance * emf
    primary = turns * (secondary + exciting)
    size = np.abs(primary)
    if np.any(size < LEAST):
        raise BadInput("exciting admittance", y_excitation_s, "the primary current would be zero")
    marked = rated * secondary
    return TransferErrors(
        _real(100.0 * (marked - size) / size),
        _real(-np.angle(primary) * ARCMIN_PER_RAD),
        _real(100.0 * np.abs(marked - primary) / size),
        _real(size / marked),
        _real(np.abs(emf)),
        _real(np.abs(exciting)),
    )


def error_bounds(i_secondary_a: float, i_excitation_a: float) -> ErrorBounds:
    """Return the bounds of the errors when only the size of the exciting current is known.

    Formula: x = I_e/I_s; ratio error less turns ratio error within x/(1 - x), phase within asin x.
    Args: secondary current in A above zero; exciting current in A, zero or more, below the secondary current.
    Result: `ErrorBounds`, both zero or more.
    Valid for sinusoidal currents.
    Raises BadInput for currents of zero or less, or an exciting current that is not below the secondary's.
    Source: arithmetic, from I_p = (N_s/N_p)(I_s + I_e).

    >>> round(error_bounds(5.0, 0.05).ratio_error_percent, 4)
    1.0101
    """
    secondary = positive_scalar("secondary current", i_secondary_a)
    exciting = not_negative_scalar("exciting current", i_excitation_a)
    if exciting >= secondary:
        raise BadInput("exciting current", i_excitation_a, "it lies below the secondary current")
    share = exciting / secondary
    return ErrorBounds(100.0 * share / (1.0 - share), math.asin(share) * ARCMIN_PER_RAD)


def from_excitation_components(
    k_rated_ratio: float,
    turns_primary_count: float,
    *,
    turns_secondary_count: float,
    i_secondary_a: float,
    i_magnetising_a: float,
    i_loss_a: float,
    burden_angle_deg: float,
    first_order: bool = False,
) -> PrimaryCurrent:
    """Return primary current and errors from the magnetising and loss component of the exciting current.

    Formula: I_p = (N_s/N_p) I_s + (I_w - j I_m) exp(j delta), the secondary current as reference; to the
    first
    order I_p = n I_s + I_m sin(delta) + I_w cos(delta), phase = (I_m cos(delta) - I_w sin(delta))/(n I_s).
    Args: rated ratio; primary and secondary turns; secondary current in A; magnetising and loss component in
    A on the primary; delta the angle of the whole secondary circuit in degrees,
    positive when inductive; first_order for the form that textbooks print.
    Result: `PrimaryCurrent`; phase in minutes, positive when the secondary leads.
    Valid for sinusoidal currents.
    Raises BadInput for ratios, turns or currents of zero or less, or negative components.
    Source: IEC 61869-2:2012, Annex 2A.

    >>> from_excitation_components(
    ...     100, 1, turns_secondary_count=100, i_secondary_a=5, i_magnetising_a=0, i_loss_a=0,
    ...     burden_angle_deg=0).i_primary_a
    500.0
    """
    rated = positive_scalar("rated transformation ratio", k_rated_ratio)
    primary_turns = positive_scalar("primary turns", turns_primary_count)
    secondary_turns = positive_scalar("secondary turns", turns_secondary_count)
    secondary = positive_scalar("secondary current", i_secondary_a)
    magnetising = not_negative_scalar("magnetising component", i_magnetising_a)
    loss = not_negative_scalar("loss component", i_loss_a)
    angle = scalar("angle of the secondary circuit", burden_angle_deg)
    if not -90.0 <= angle <= 90.0:
        raise BadInput("angle of the secondary circuit", burden_angle_deg, "it lies within 90 degrees")
    turned = complex(loss, -magnetising) * cmath.exp(1j * math.radians(angle))
    reflected = secondary_turns * secondary / primary_turns
    primary = reflected + turned
    size = primary.real if first_order else abs(primary)
    if size < LEAST:
        raise BadInput("magnetising component", i_magnetising_a, "no primary current is left above zero")
    phase_rad = -primary.imag / reflected if first_order else -cmath.phase(primary)
    marked = rated * secondary
    error_percent = 100.0 * (marked - size) / size
    return PrimaryCurrent(size, error_percent, phase_rad * ARCMIN_PER_RAD, size / marked)


def turns_to_remove_count(
    i_secondary_a: float,
    *,
    i_magnetising_a: float,
    i_loss_a: float,
    burden_angle_deg: float,
    turns_primary_count: float = 1.0,
) -> float:
    """Return how many secondary turns less make the ratio error vanish, to the first order.

    Formula: (I_m sin(delta) + I_w cos(delta)) / I_s.
    Args: secondary current in A; components of the exciting current in A on the primary; delta in degrees;
    primary turns.
    Result: turns, not rounded.
    Valid for small exciting currents.
    Raises BadInput for a current of zero or less or negative components.
    Source: IEC 61869-2:2012, Annex 2A (turns correction), first order.

    >>> turns_to_remove_count(5.0, i_magnetising_a=0.0, i_loss_a=10.0, burden_angle_deg=0.0)
    2.0
    """
    secondary = positive_scalar("secondary current", i_secondary_a)
    primary_turns = positive_scalar("primary turns", turns_primary_count)
    magnetising = not_negative_scalar("magnetising component", i_magnetising_a)
    loss = not_negative_scalar("loss component", i_loss_a)
    delta = math.radians(scalar("angle of the secondary circuit", burden_angle_deg))
    return primary_turns * (magnetising * math.sin(delta) + loss * math.cos(delta)) / secondary


def core_flux_peak_wb(emf_v: float, turns_count: float, f_hz: float) -> float:
    """Return the peak flux of the core from the e.m.f. of a winding.

    Formula: E sqrt(2) / (2 pi f N).
    Args: e.m.f. in V r.m.s.; turns; frequency in Hz; all above zero.
    Result: Wb, peak.
    Valid for a sinusoidal e.m.f.
    Raises BadInput for values of zero or less.
    Source: arithmetic, from E = 4.44 f N flux.

    >>> round(core_flux_peak_wb(8.0, 200, 50) * 1000, 2)
    0.18
    """
    emf = positive_scalar("e.m.f.", emf_v)
    turns = positive_scalar("turns", turns_count)
    return emf * math.sqrt(2.0) / (2.0 * math.pi * positive_scalar("frequency", f_hz) * turns)


def _admittance(y_excitation_s: Admittance, emf_size_v: Any) -> Complex:
    if not callable(y_excitation_s):
        return finite_complex("exciting admittance", y_excitation_s)
    size = float(emf_size_v) if np.ndim(emf_size_v) == 0 else emf_size_v
    return finite_complex("exciting admittance", y_excitation_s(size))


def _real(value: Any) -> Real:
    array = np.asarray(value, dtype=np.float64)
    # Adding zero turns a negative zero into zero, which prints without a sign.
    return float(array) + 0.0 if array.ndim == 0 else array + 0.0
