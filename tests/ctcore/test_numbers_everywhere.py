"""Any number into any public function: a finite answer or `BadInput`, never another exception, never NaN."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ctcore import (
    budgets,
    burden,
    classtable,
    decision,
    demagnetising,
    duty,
    envelope,
    insulation,
    limiting,
    meters,
    ratio,
    standards,
    taps,
    temperature,
    transfer,
    uncertainty,
    wire,
    worked,
)
from ctcore.curve import Curve, inductance, stored_energy_j
from ctcore.errors import BadInput
from ctcore.nameplate import parse_class

CURVE = Curve([10.0, 20.0, 40.0, 50.0], [0.001, 0.002, 0.006, 0.1])

# Sizes that instruments show, and all that no instrument shows.
NUMBERS = st.one_of(
    st.floats(1e-3, 1e3),
    st.floats(),
    st.sampled_from([0.0, -0.0, 1.0, -1.0, 5e-324, 1e308, -1e308, math.nan, math.inf]),
)
IMPEDANCES = st.one_of(NUMBERS, st.complex_numbers(), st.complex_numbers(max_magnitude=100.0))

# The function and how many plain numbers and impedances it takes, numbers first.
CASES: list[tuple[Callable[..., Any], int, int]] = [
    (temperature.resistance_ohm, 3, 0),
    (temperature.correction_factor, 2, 0),
    (temperature.sensitivity_percent_per_k, 1, 0),
    (decision.decide, 4, 0),
    (lambda y, low, high, u: decision.decide(y, low, high, u, "four_way"), 4, 0),
    (lambda y, low, high, u: decision.decide(y, low, high, u, "guard_band"), 4, 0),
    (ratio.ratio_error_percent, 3, 0),
    (ratio.turns_ratio_error_percent, 2, 0),
    (ratio.turns_ratio_from_voltages, 2, 0),
    (ratio.tcf, 2, 0),
    (ratio.tcf_exact, 3, 0),
    (ratio.rcf_from_ratio_error, 1, 0),
    (ratio.ratio_error_from_rcf, 1, 0),
    (ratio.composite_error_from_errors_percent, 2, 0),
    (ratio.arcmin_from_crad, 1, 0),
    (ratio.compared_with_standard, 2, 0),
    (taps.full_winding_voltage_v, 3, 0),
    (taps.primary_voltage_v, 3, 0),
    (taps.class_voltage_of_tap_v, 3, 0),
    (burden.from_rating, 3, 0),
    (lambda current, z: burden.output_va(z, current), 1, 1),
    (burden.output_at_current_va, 3, 0),
    (burden.output_with_leads_va, 3, 0),
    (lambda v, i, a, r: burden.from_measurement(v, i, a, i_secondary_rated_a=r), 4, 0),
    (limiting.emf_v, 3, 1),
    (limiting.emf_arithmetic_v, 3, 1),
    (limiting.operating_factor_from_plate, 2, 2),
    (limiting.rated_factor_needed, 2, 2),
    (limiting.standard_factor_at_least, 1, 0),
    (limiting.exciting_current_limit_a, 3, 0),
    (limiting.factor_at_current, 3, 0),
    (limiting.knee_from_dimensioning_v, 4, 0),
    (limiting.emf_transient_v, 5, 0),
    (limiting.peak_exciting_current_a, 3, 0),
    (lambda a, b, c, d, e: limiting.peak_exciting_current_tpz_a(a, b, c, ts_s=d, f_hz=e), 5, 0),
    (transfer.errors, 4, 2),
    (transfer.error_bounds, 2, 0),
    (transfer.core_flux_peak_wb, 3, 0),
    (insulation.factor_to_20degc, 1, 0),
    (insulation.judge, 3, 0),
    (insulation.polarisation_index, 2, 0),
    (insulation.discharge_time_s, 1, 0),
    (wire.awg_ohm_per_km, 1, 0),
    (lambda a, b, c: wire.loop_resistance_ohm(a, b, t_degc=c), 3, 0),
    (duty.time_constant_s, 2, 0),
    (duty.time_to_saturation_s, 3, 0),
    (lambda a, b, c, d: duty.transient_factor(a, b, c, f_hz=d), 4, 0),
    (lambda v, i, r: duty.stabilising_resistor_ohm(v, i, r_relay_ohm=r), 3, 0),
    (
        lambda k, i, n, a, b: duty.knee_required_v(k, i, ns_over_np=n, r_winding_ohm=a, r_loop_ohm=b),
        5,
        0,
    ),
    (
        lambda i, x, n, z, m: duty.saturation_free_voltage_v(
            i, x, ns_over_np=n, z_total_ohm=z, remanence_ratio=m
        ),
        5,
        0,
    ),
    (worked.time_to_saturation, 3, 0),
    (demagnetising.flux_linkage_vs, 2, 0),
    (demagnetising.ac_ramp, 2, 0),
    (
        lambda i, psi, v, r: demagnetising.alternating_dc(
            i, flux_linkage_peak_vs=psi, v_source_v=v, r_circuit_ohm=r
        ),
        4,
        0,
    ),
    (lambda i, f: stored_energy_j(CURVE, i, f) or 0.0, 2, 0),
    (meters.voltage_at_rated_frequency_v, 3, 0),
    (envelope.current_within, 2, 0),
    (envelope.voltage_within, 2, 0),
    (lambda percent: standards.error_limits_at("0.5S", percent), 1, 0),
    (lambda percent, rf: standards.correction_limits_at("0.3", percent, rating_factor=rf), 2, 0),
    (lambda output: standards.burden_range("0.5", output), 1, 0),
    (standards.power_factor_of_test, 1, 0),
    (lambda v, f, i: standards.relay_burden(v, f_hz=f, i_secondary_rated_a=i), 3, 0),
    (lambda v, u: uncertainty.specification("x", v, percent_of_reading=u, floor=u), 2, 0),
    (lambda a, b: uncertainty.repeats("x", [a, b]), 2, 0),
    (lambda v, u, c: uncertainty.Budget("x", "V", v, (uncertainty.Line("y", v, u, c),)).rows(), 3, 0),
    (lambda r, t, u, v: budgets.winding_resistance(r, t, u_r_rel=u, u_t_k=v).u_combined, 4, 0),
    (
        lambda a, b, c, u, v: (
            budgets.turns_ratio_error(a, b, c, u_secondary_rel=u, u_primary_rel=v).u_combined
        ),
        5,
        0,
    ),
    (
        lambda a, b, c, u, v: budgets.ratio_error(a, b, c, u_primary_rel=u, u_secondary_rel=v).u_combined,
        5,
        0,
    ),
    (
        lambda a, b, c, d, e, f, g: transfer.from_excitation_components(
            a, b, turns_secondary_count=c, i_secondary_a=d, i_magnetising_a=e, i_loss_a=f, burden_angle_deg=g
        ),
        7,
        0,
    ),
    (
        lambda a, b, c, d: transfer.turns_to_remove_count(
            a, i_magnetising_a=b, i_loss_a=c, burden_angle_deg=d
        ),
        4,
        0,
    ),
    (lambda v, u, f: budgets.knee_voltage(v, u, u_frequency_rel=f).u_combined, 3, 0),
    (lambda a, b, c, u, z: budgets.limiting_emf(a, b, c, z, u_r_ohm=u).u_combined, 4, 1),
    (lambda r, t, u, v: budgets.insulation_resistance(r, t, u_r_rel=u, u_t_k=v).u_combined, 4, 0),
    (
        lambda v, i, a, u: (
            budgets.burden(v, i, a, u_voltage_v=u, u_current_a=u, u_angle_rad=u).r_ohm.u_combined
        ),
        4,
        0,
    ),
    (lambda a, b, c, z: limiting.composite_error_percent(CURVE, a, b, c, z), 3, 1),
    (lambda a, b, limit, z: limiting.operating_factor(CURVE, a, b, z, limit), 3, 1),
    (lambda v: CURVE.current_a(v), 1, 0),
    (lambda i: CURVE.voltage_v(i), 1, 0),
    (lambda f: inductance(CURVE, f), 1, 0),
    (
        lambda k, n, i, r, va: classtable.class_table(
            replace(parse_class("0.5 10 VA"), output_va=va),
            classtable.Winding(k, n, i, r),
            CURVE.current_a,
            angle_known=False,
        ),
        5,
        0,
    ),
]


def numbers_in(answer: object) -> list[complex]:
    """Every number that stands in an answer."""
    if dataclasses.is_dataclass(answer):
        answer = [getattr(answer, field.name) for field in dataclasses.fields(answer)]
    if isinstance(answer, (list, tuple)):
        return [number for part in answer for number in numbers_in(part)]
    if isinstance(answer, np.ndarray):
        return list(answer.ravel())
    return [answer] if isinstance(answer, (int, float, complex)) else []


@pytest.mark.parametrize(("function", "numbers_count", "impedances_count"), CASES)
@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_any_number_gives_a_finite_answer_or_is_refused(
    function: Callable[..., Any], numbers_count: int, impedances_count: int, data: st.DataObject
) -> None:
    arguments = [data.draw(NUMBERS) for _ in range(numbers_count)]
    arguments += [data.draw(IMPEDANCES) for _ in range(impedances_count)]
    try:
        answer = function(*arguments)
    except BadInput:
        return
    assert all(np.isfinite(number) for number in numbers_in(answer))
