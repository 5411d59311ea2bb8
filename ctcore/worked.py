"""Duty figures as they are shown to a reader: formula, the same with the numbers put in, and the result."""

from __future__ import annotations

from dataclasses import dataclass

from ctcore import duty, figures

_CUSTOM = "common practice, no source"
_C37 = "IEEE C37.110-2007 (from memory)"


@dataclass(frozen=True, slots=True)
class Worked:
    """One figure with its way: what it is, formula, formula with numbers, value in `unit`, where it is from.

    `value` is None where the formula says that the case does not occur; `result` says so in words.
    """

    name: str
    formula: str
    filled: str
    value: float | None
    unit: str
    source: str
    result: str

    @property
    def text(self) -> str:
        """All of it in one line."""
        return f"{self.name}: {self.formula} = {self.filled} = {self.result}"


def _n(value: float, unit: str) -> str:
    # Six digits hold whatever is keyed; a figure computed on the way is cut to the same.
    return figures.text(float(f"{value:.6g}"), unit)


def _worked(name: str, formula: str, filled: str, value: float, *, unit: str, source: str) -> Worked:
    shown = figures.with_unit(value, unit, significant=4)
    return Worked(name, formula, filled, value, unit, source, shown)


def high_impedance(
    i_through_fault_a: float,
    *,
    ns_over_np: float,
    r_winding_ohm: float,
    r_loop_ohm: float,
    i_setting_a: float,
    r_relay_ohm: float = 0.0,
    v_knee_v: float | None = None,
    i_internal_fault_a: float | None = None,
) -> tuple[Worked, ...]:
    """Return stability voltage, least knee, stabilising resistor and, with knee and fault, the peak voltage.

    Formula: those of `ctcore.duty`, one after the other; the relay is set at the stability voltage.
    Args: through-fault current in A; turns ratio; winding, loop and relay in ohm; setting current in A; knee
    of the transformers in V and internal fault current in A, or None.
    Result: one `Worked` for each figure.
    Valid for like transformers on one turns ratio.
    Raises BadInput for impossible values.
    Source: common practice, no source.

    >>> [row.value for row in high_impedance(
    ...     12000, ns_over_np=600, r_winding_ohm=3, r_loop_ohm=2, i_setting_a=0.05, r_relay_ohm=200)]
    [100.0, 200.0, 1800.0]
    """
    v_setting = duty.stabilising_voltage_v(
        i_through_fault_a, ns_over_np, r_winding_ohm=r_winding_ohm, r_loop_ohm=r_loop_ohm
    )
    knee = duty.knee_for_high_impedance_v(v_setting)
    resistor = duty.stabilising_resistor_ohm(v_setting, i_setting_a, r_relay_ohm=r_relay_ohm)
    secondary = f"{_n(i_through_fault_a, 'A')}/{_n(ns_over_np, '1')}"
    rows = [
        _worked(
            "Stability voltage", "If/n (Rct + Rl)",
            f"{secondary} × ({_n(r_winding_ohm, 'ohm')} + {_n(r_loop_ohm, 'ohm')})", v_setting,
            unit="V", source=_CUSTOM,
        ),
        _worked("Least knee voltage", "2 Vs", f"2 × {_n(v_setting, 'V')}", knee, unit="V", source=_CUSTOM),
        _worked(
            "Stabilising resistor", "Vs/Is − Rr",
            f"{_n(v_setting, 'V')}/{_n(i_setting_a, 'A')} − {_n(r_relay_ohm, 'ohm')}", resistor,
            unit="ohm", source=_CUSTOM,
        ),
    ]  # fmt: skip
    if v_knee_v is not None and i_internal_fault_a is not None:
        whole = r_winding_ohm + r_loop_ohm + r_relay_ohm + resistor
        rows.append(_peak(v_knee_v, i_internal_fault_a / ns_over_np * whole))
    return tuple(rows)


def _peak(v_knee_v: float, v_fault_v: float) -> Worked:
    value = duty.peak_voltage_v(v_knee_v, v_fault_v)
    knee, fault = _n(v_knee_v, "V"), _n(v_fault_v, "V")
    result = (
        "no peak: the fault does not reach the knee"
        if value is None
        else figures.with_unit(value, "V", significant=4)
    )
    filled = f"2 √(2 × {knee} × ({fault} − {knee}))"
    return Worked("Peak voltage without limiter", "2 √(2 Vk (Vf − Vk))", filled, value, "V", _CUSTOM, result)


def knee_required(
    factor_k_ratio: float,
    i_fault_primary_a: float,
    *,
    ns_over_np: float,
    r_winding_ohm: float,
    r_loop_ohm: float,
    r_relay_ohm: float = 0.0,
) -> Worked:
    """Return the knee voltage that a relay asks for, with the factor that its user keyed.

    Formula: K If/n (Rct + Rl + Rr).
    Args: as `ctcore.duty.knee_required_v`.
    Result: `Worked` in V.
    Valid where the maker states his requirement in this form.
    Raises BadInput for impossible values.
    Source: common practice, no source; the factor is the user's.

    >>> knee_required(2, 12000, ns_over_np=600, r_winding_ohm=3, r_loop_ohm=2).filled.replace("\u202f", " ")
    '2 × 12 000/600 × (3 + 2 + 0)'
    """
    value = duty.knee_required_v(
        factor_k_ratio, i_fault_primary_a, ns_over_np=ns_over_np, r_winding_ohm=r_winding_ohm,
        r_loop_ohm=r_loop_ohm, r_relay_ohm=r_relay_ohm,
    )  # fmt: skip
    ohms = " + ".join(_n(ohm, "ohm") for ohm in (r_winding_ohm, r_loop_ohm, r_relay_ohm))
    filled = f"{_n(factor_k_ratio, '1')} × {_n(i_fault_primary_a, 'A')}/{_n(ns_over_np, '1')} × ({ohms})"
    return _worked(
        "Knee voltage required", "K If/n (Rct + Rl + Rr)", filled, value, unit="V",
        source="factor entered by the user; form common practice, no source",
    )  # fmt: skip


def saturation_free(
    i_fault_primary_a: float,
    x_over_r_ratio: float,
    *,
    ns_over_np: float,
    z_total_ohm: float,
    remanence_ratio: float = 0.0,
) -> Worked:
    """Return the voltage that passes a fully offset fault without saturation.

    Formula: If/n Z (1 + X/R)/(1 - remanence).
    Args: as `ctcore.duty.saturation_free_voltage_v`.
    Result: `Worked` in V.
    Valid for a resistive burden and full offset.
    Raises BadInput for impossible values.
    Source: IEEE C37.110-2007 (from memory).

    >>> saturation_free(12000, 11, ns_over_np=600, z_total_ohm=5, remanence_ratio=0.5).value
    2400.0
    """
    value = duty.saturation_free_voltage_v(
        i_fault_primary_a, x_over_r_ratio, ns_over_np=ns_over_np, z_total_ohm=z_total_ohm,
        remanence_ratio=remanence_ratio,
    )  # fmt: skip
    filled = (
        f"{_n(i_fault_primary_a, 'A')}/{_n(ns_over_np, '1')} × {_n(z_total_ohm, 'ohm')} × "
        f"(1 + {_n(x_over_r_ratio, '1')})/(1 − {_n(remanence_ratio, '1')})"
    )
    return _worked(
        "Saturation-free voltage", "If/n Z (1 + X/R)/(1 − remanence)", filled, value, unit="V", source=_C37
    )


def time_to_saturation(saturation_factor: float, x_over_r_ratio: float, f_hz: float) -> Worked:
    """Return when a core saturates in a fully offset fault.

    Formula: -T1 ln(1 - (Ks - 1)/(X/R)), T1 = (X/R)/(2 pi f).
    Args: as `ctcore.duty.time_to_saturation_s`.
    Result: `Worked` in s; its value is None where the core does not saturate.
    Valid for full offset, resistive burden, no remanence.
    Raises BadInput for impossible values.
    Source: IEEE C37.110-2007 (from memory).

    >>> time_to_saturation(20, 12, 60).result
    'never: the factor is not reached'
    """
    value = duty.time_to_saturation_s(saturation_factor, x_over_r_ratio, f_hz)
    t1 = duty.time_constant_s(x_over_r_ratio, f_hz)
    ratio = _n(x_over_r_ratio, "1")
    filled = f"−{_n(t1, 's')} ln(1 − ({_n(saturation_factor, '1')} − 1)/{ratio})"
    result = (
        "never: the factor is not reached" if value is None else figures.with_unit(value, "s", significant=4)
    )
    return Worked("Time to saturation", "−T1 ln(1 − (Ks − 1)/(X/R))", filled, value, "s", _C37, result)
