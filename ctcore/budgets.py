"""Ready budgets of what a site test derives: resistances, ratios, burden, knee, e.m.f., composite error."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ctcore.checks import not_negative_scalar, positive_scalar, scalar
from ctcore.errors import BadInput
from ctcore.insulation import HALVING_RANGE_DEGC, correction_table, factor_to_20degc
from ctcore.limiting import ExcitationCurve, composite_error_percent, emf_v
from ctcore.ratio import turns_ratio_error_percent
from ctcore.temperature import resistance_ohm, sensitivity_percent_per_k
from ctcore.uncertainty import Budget, Correlation, Line


@dataclass(frozen=True, slots=True)
class BurdenBudgets:
    """Resistance, reactance and impedance of a measured burden, each with its budget in ohm."""

    r_ohm: Budget
    x_ohm: Budget
    z_ohm: Budget


def winding_resistance(
    r_ohm: float,
    t_measured_degc: float,
    *,
    u_r_rel: float,
    u_t_k: float,
    t_reference_degc: float = 75.0,
    conductor: str = "copper",
) -> Budget:
    """Return the budget of a winding resistance at the reference temperature.

    Formula: R2 = R1 (Tk + t2)/(Tk + t1); dR2/dR1 = R2/R1; dR2/dt1 = -R2/(Tk + t1).
    Args: resistance in ohm; winding temperature in degC; relative standard uncertainty of the reading;
    standard
    uncertainty of the temperature in K; reference temperature; conductor.
    Result: `Budget` in ohm.
    Valid as `ctcore.temperature.resistance_ohm`; the temperature is usually the largest line.
    Raises BadInput for impossible values or negative uncertainties.
    Source: JCGM 100:2008, 5.1.2; IEC 61869-2:2012 for 75 degC.

    >>> round(winding_resistance(0.5, 20.0, u_r_rel=0.001, u_t_k=1.0).u_combined, 5)
    0.00247
    """
    corrected = float(resistance_ohm(r_ohm, t_measured_degc, t_reference_degc, conductor))
    slope = corrected * sensitivity_percent_per_k(t_measured_degc, conductor) / 100.0
    return Budget(
        f"winding resistance at {t_reference_degc:g} degC",
        "ohm",
        corrected,
        (
            _relative("resistance", float(r_ohm), u_r_rel, corrected, "ohmmeter"),
            Line("winding temperature", float(t_measured_degc), _u(u_t_k), slope, "thermometer and settling"),
        ),
    )


def turns_ratio_error(
    v_secondary_v: float,
    v_primary_v: float,
    rated_ns_over_np: float,
    *,
    u_secondary_rel: float,
    u_primary_rel: float,
    correlation: float = 0.0,
    drop_ratio: float = 0.0,
) -> Budget:
    """Return the budget of the turns ratio error by the voltage method.

    Formula: e = 100 (n_rated V_p/V_s - 1); de/dV_p = 100 n_rated/V_s; de/dV_s = -100 n_rated V_p/V_s^2.
    Args: voltages in V; rated N_s/N_p; relative standard uncertainties; the correlation of the two voltages
    when one instrument reads both; drop_ratio = I R_ct / V_s, the drop not corrected for want of an angle.
    Result: `Budget` in percent, IEC sense; the drop is a rectangular line of half width drop_ratio.
    Valid for the voltage method with the primary open.
    Raises BadInput for impossible values, negative uncertainties, a correlation outside -1 to 1.
    Source: JCGM 100:2008, 5.2.2.

    >>> round(turns_ratio_error(120.0, 0.2, 600, u_secondary_rel=3e-4, u_primary_rel=4e-4).u_combined, 6)
    0.05
    """
    secondary = positive_scalar("secondary voltage", v_secondary_v)
    primary = positive_scalar("primary voltage", v_primary_v)
    rated = scalar("rated turns ratio", rated_ns_over_np)
    error = float(turns_ratio_error_percent(secondary / primary, rated))
    slope = 100.0 + error
    drop = not_negative_scalar("drop ratio", drop_ratio)
    lines = [
        _relative("secondary voltage", secondary, u_secondary_rel, -slope, "voltmeter"),
        _relative("primary voltage", primary, u_primary_rel, slope, "voltmeter"),
    ]
    if drop > 0.0:
        u_drop = drop / math.sqrt(3.0)
        source = "I Rct / U, angle not known"
        lines.append(Line("drop in the winding", 0.0, u_drop, slope, source, "rectangular"))
    links = (Correlation("secondary voltage", "primary voltage", correlation),) if correlation else ()
    return Budget("turns ratio error", "percent", error, tuple(lines), links)


def ratio_error(
    k_rated_ratio: float,
    i_primary_a: float,
    i_secondary_a: float,
    *,
    u_primary_rel: float,
    u_secondary_rel: float,
    correlation: float = 0.0,
) -> Budget:
    """Return the budget of the ratio error by the current method.

    Formula: e = 100 (k_r I_s/I_p - 1); de/dI_s = 100 k_r/I_p; de/dI_p = -100 k_r I_s/I_p^2.
    Args: rated ratio; currents in A; relative standard uncertainties; the correlation of the two currents
    when
    one instrument reads both.
    Result: `Budget` in percent.
    Valid at the burden in circuit during the reading.
    Raises BadInput for impossible values, negative uncertainties, a correlation outside -1 to 1.
    Source: JCGM 100:2008, 5.2.2.

    >>> round(ratio_error(120, 600.0, 5.0, u_primary_rel=3e-4, u_secondary_rel=4e-4).u_combined, 6)
    0.05
    """
    rated = positive_scalar("rated transformation ratio", k_rated_ratio)
    primary = positive_scalar("primary current", i_primary_a)
    secondary = positive_scalar("secondary current", i_secondary_a)
    slope = 100.0 * rated * secondary / primary
    links = (Correlation("secondary current", "primary current", correlation),) if correlation else ()
    return Budget(
        "ratio error",
        "percent",
        slope - 100.0,
        (
            _relative("secondary current", secondary, u_secondary_rel, slope, "ammeter"),
            _relative("primary current", primary, u_primary_rel, -slope, "ammeter"),
        ),
        links,
    )


def burden(
    voltage_v: float,
    current_a: float,
    angle_rad: float,
    *,
    u_voltage_v: float,
    u_current_a: float,
    u_angle_rad: float,
    correlations: tuple[float, float, float] = (0.0, 0.0, 0.0),
) -> BurdenBudgets:
    """Return the budgets of R, X and Z of a burden from voltage, current and angle.

    Formula: R = V/I cos(a), X = V/I sin(a), Z = V/I, with their partial derivatives.
    Args: V, A, rad, each with its standard uncertainty; correlations voltage-current, voltage-angle,
    current-angle.
    Result: `BurdenBudgets`, each in ohm.
    Valid for sinusoidal values.
    Raises BadInput for impossible values or correlations.
    Source: JCGM 100:2008, H.2.

    >>> budgets = burden(5.0, 1.0, 0.0, u_voltage_v=0.05, u_current_a=0.0, u_angle_rad=0.0)
    >>> budgets.z_ohm.value, round(budgets.z_ohm.u_combined, 6)
    (5.0, 0.05)
    """
    voltage = positive_scalar("voltage", voltage_v)
    current = positive_scalar("current", current_a)
    angle = scalar("angle", angle_rad)
    names = ("voltage", "current", "angle")
    values = (voltage, current, angle)
    spreads = (_u(u_voltage_v), _u(u_current_a), _u(u_angle_rad))
    pairs = (("voltage", "current"), ("voltage", "angle"), ("current", "angle"))
    links = tuple(
        Correlation(*pair, coefficient)
        for pair, coefficient in zip(pairs, correlations, strict=True)
        if coefficient
    )
    size = voltage / current

    def of(quantity: str, value: float, turned: float) -> Budget:
        slopes = (value / voltage, -value / current, turned)
        lines = tuple(
            Line(name, reading, spread, slope)
            for name, reading, spread, slope in zip(names, values, spreads, slopes, strict=True)
        )
        return Budget(quantity, "ohm", value, lines, links)

    r_ohm, x_ohm = size * math.cos(angle), size * math.sin(angle)
    return BurdenBudgets(
        of("burden resistance", r_ohm, -x_ohm),
        of("burden reactance", x_ohm, r_ohm),
        of("burden impedance", size, 0.0),
    )


def knee_voltage(voltage_v: float, u_curve_v: float | None, *, u_frequency_rel: float = 0.0) -> Budget:
    """Return the budget of a knee voltage.

    Formula: V at rated frequency is V f_r/f, so the relative uncertainty of the frequency carries over whole.
    Args: knee in V; its standard uncertainty from the readings, which a curve with stated scatter gives and
    which holds the calibration of the voltmeter; relative standard uncertainty of the frequency.
    Result: `Budget` in V.
    Valid for any of the three definitions.
    Raises BadInput when the curve states no uncertainty, which is not zero.
    Source: JCGM 100:2008, 5.1.2.

    >>> knee_voltage(200.0, 1.0).u_expanded
    2.0
    """
    knee = positive_scalar("knee voltage", voltage_v)
    if u_curve_v is None:
        raise BadInput("uncertainty of the knee", None, "not stated: the scatter of the meters is not known")
    lines = [Line("readings and voltmeter", knee, _u(u_curve_v), 1.0, "excitation curve")]
    share = _u(u_frequency_rel)
    if share > 0.0:
        lines.append(Line("frequency", 1.0, share, knee, "frequency of the supply"))
    return Budget("knee voltage", "V", knee, tuple(lines))


def limiting_emf(
    limit_factor: float,
    i_secondary_rated_a: float,
    r_winding_ohm: float,
    z_burden_ohm: complex,
    *,
    u_r_ohm: float,
    u_z_rel: float = 0.0,
) -> Budget:
    """Return the budget of a secondary limiting e.m.f.

    Formula: E = F I_sr |R_ct + Z_b|; dE/dR_ct = F I_sr (R_ct + R_b)/|R_ct + Z_b|;
    for a share of Z_b F I_sr ((R_ct + R_b) R_b + X_b^2)/|R_ct + Z_b|.
    Args: as `ctcore.limiting.emf_v`; standard uncertainty of R_ct at 75 degC in ohm; relative standard
    uncertainty of the burden, zero for the rated one.
    Result: `Budget` in V.
    Valid as `ctcore.limiting.emf_v`.
    Raises BadInput as `ctcore.limiting.emf_v`, and for negative uncertainties.
    Source: JCGM 100:2008, 5.1.2.

    >>> round(limiting_emf(20, 1.0, 5.0, 15.0, u_r_ohm=0.1).u_combined, 6)
    2.0
    """
    emf = scalar("limiting e.m.f.", emf_v(limit_factor, i_secondary_rated_a, r_winding_ohm, z_burden_ohm))
    scale = float(limit_factor) * float(i_secondary_rated_a)
    burden_ohm, resistance = complex(z_burden_ohm), float(r_winding_ohm)
    along = resistance + burden_ohm.real
    size = emf / scale
    per_share = scale * (along * burden_ohm.real + burden_ohm.imag**2) / size
    slope = scale * along / size
    lines = [Line("winding resistance", resistance, _u(u_r_ohm), slope, "resistance at 75 degC")]
    if u_z_rel:
        lines.append(Line("burden", 1.0, _u(u_z_rel), per_share, "share of the burden"))
    return Budget("limiting e.m.f.", "V", emf, tuple(lines))


def composite_error(
    curve: ExcitationCurve,
    limit_factor: float,
    i_secondary_rated_a: float,
    *,
    r_winding_ohm: float,
    z_burden_ohm: complex,
    u_r_ohm: float,
    u_voltage_rel: float,
    u_current_rel: float,
) -> Budget:
    """Return the budget of the composite error by the indirect method.

    Formula: e = 100 I_e(E)/(F I_sr); a share of current moves e by that share, of voltage by s times it,
    s = d ln I/d ln V of the curve at E (large above the knee, where small errors of voltage count most).
    Args: measured curve; factor, I_sr, R_ct at 75 degC and its standard uncertainty; Z_b; relative standard
    uncertainties of a reading of voltage and of current.
    Result: `Budget` in percent.
    Valid as `ctcore.limiting.composite_error_percent`; the slope is taken over half a percent of voltage.
    Raises BadInput as that function, and for negative uncertainties.
    Source: JCGM 100:2008, 5.1.2.

    >>> from ctcore.curve import Curve
    >>> budget = composite_error(
    ...     Curve([100.0, 200.0, 400.0], [0.01, 0.02, 0.04]), 20, 1.0, r_winding_ohm=2.0, z_burden_ohm=8.0,
    ...     u_r_ohm=0.0, u_voltage_rel=0.003, u_current_rel=0.004)
    >>> round(budget.value, 6), round(budget.u_combined, 6)
    (0.1, 0.0005)
    """
    error = composite_error_percent(curve, limit_factor, i_secondary_rated_a, r_winding_ohm, z_burden_ohm)
    emf = limiting_emf(limit_factor, i_secondary_rated_a, r_winding_ohm, z_burden_ohm, u_r_ohm=u_r_ohm)
    low = max(emf.value * 0.995, curve.voltage_first_v)
    high = min(emf.value * 1.005, curve.voltage_last_v)
    rise = math.log(float(curve.current_a(high)) / float(curve.current_a(low)))
    slope = error * rise / math.log(high / low)
    return Budget(
        "composite error",
        "percent",
        error,
        (
            Line("current", 1.0, _u(u_current_rel), error, "ammeter, share of the reading"),
            Line("voltage", 1.0, _u(u_voltage_rel), slope, "voltmeter, share of the reading"),
            Line("e.m.f. of the class", emf.value, emf.u_combined, slope / emf.value, "winding resistance"),
        ),
    )


def insulation_resistance(
    r_ohm: float, t_measured_degc: float, *, u_r_rel: float, u_t_k: float, table_id: str = "halving_per_10k"
) -> Budget:
    """Return the budget of an insulation resistance at 20 degC.

    Formula: R20 = R k(t); a kelvin moves it by d ln k/dt, 6.9 % where the resistance halves per 10 K.
    Args: reading in ohm; temperature of the insulation in degC; relative standard uncertainty of the reading;
    standard uncertainty of the temperature in K; id of the table.
    Result: `Budget` in ohm.
    Valid inside the table; the table itself is worth no more than its tag says.
    Raises BadInput outside the table or for impossible values.
    Source: JCGM 100:2008, 5.1.2.

    >>> round(insulation_resistance(1e9, 20.0, u_r_rel=0.0, u_t_k=1.0).u_combined / 1e9, 4)
    0.0693
    """
    raw = positive_scalar("insulation resistance", r_ohm)
    factor = factor_to_20degc(t_measured_degc, table_id).factor
    table = correction_table(table_id)
    first, last = (table.points[0][0], table.points[-1][0]) if table.points else HALVING_RANGE_DEGC
    low, high = max(t_measured_degc - 1.0, first), min(t_measured_degc + 1.0, last)
    rise = math.log(factor_to_20degc(high, table_id).factor / factor_to_20degc(low, table_id).factor)
    corrected = raw * factor
    return Budget(
        "insulation resistance at 20 degC",
        "ohm",
        corrected,
        (
            _relative("resistance", raw, u_r_rel, corrected, "insulation tester"),
            Line("temperature", t_measured_degc, _u(u_t_k), corrected * rise / (high - low), table.name),
        ),
    )


def _relative(name: str, value: float, u_rel: float, slope: float, source: str) -> Line:
    """The line of a reading known to a share of itself; `slope` is what the result moves for 100 % of it."""
    return Line(name, value, value * _u(u_rel), slope / value, source)


def _u(value: float) -> float:
    return not_negative_scalar("standard uncertainty", value)
