"""Cores with curves that a head can follow, for what stands beside the check of the class."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 75, "t_winding_source": "surface_probe"}
AS_ASKED = {
    "tap_id": "S1-S2",
    "frequency_hz": 50,
    "voltage_response": "mean",
    "current_response": "true_rms",
    "demagnetised": "yes_no_dc_since",
    "primary_state": "open",
    "other_cores": "none",
    "links": "lifted",
}
LOW = np.array([0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 40.0])
HIGH = np.array([50.0, 100, 150, 200, 250, 300, 320, 340, 350, 360, 370, 380, 390, 400, 410, 420, 440])


def amperes(volts: Any) -> Any:
    """I = 0.02 (V/400)^0.6 + 0.004 (V/400)^18."""
    return 0.02 * (np.asarray(volts) / 400.0) ** 0.6 + 0.004 * (np.asarray(volts) / 400.0) ** 18


def core_of(worksheet: Any, class_text: str, *, cores: int = 1, **core: Any) -> Any:
    """Cores of 2 ohm at 75 degC, without a curve yet."""
    sheet = worksheet(class_text, phases=cores, **core)
    for number in range(cores):
        sheet.key("resistance", core=number, **FOUR_WIRE)
        sheet.key("resistance", "S1-S2", core=number, r_measured_ohm=2.0)
    return sheet


def linear(worksheet: Any, class_text: str, ampere_per_volt: float = 1e-4, **core: Any) -> Any:
    """A curve that is a straight line, which a head can follow; 600 turns on the plate."""
    sheet = core_of(worksheet, class_text, **core)
    sheet.cores = [
        replace(entry, taps=(replace(entry.taps[0], turns_secondary_count=600.0),)) for entry in sheet.cores
    ]
    sheet.key("excitation", **AS_ASKED)
    sheet.points(LOW, LOW * ampere_per_volt)
    return sheet


def direct(sheet: Any, percent: float = 100.0) -> Any:
    sheet.key("ratio", ratio_method="instrument", burden_in_circuit_va=10, burden_power_factor_ratio=0.8)
    sheet.key("ratio", "S1-S2", i_percent_rated_percent=percent, ratio_error_read_percent=-0.1)
    return sheet


TABLE = "excitation.table_calculated"


def _derived(sheet: Any) -> Any:
    from ctcore.judge import derived
    from ctcore.takes import takes_of

    return derived(sheet.job, sheet.place(), takes_of(sheet.readings))["c1", "excitation", 1]


def transient(worksheet: Any, class_text: str, peak_factor: float, volts: Any = HIGH) -> Any:
    sheet = core_of(worksheet, class_text)
    sheet.key("excitation", further_readings="peak_remanence", **AS_ASKED)
    sheet.points(volts, amperes(volts))
    for row, current in enumerate(amperes(volts), start=1):
        sheet.key("excitation", str(row), i_excitation_peak_a=float(current) * peak_factor)
    return sheet


def tapped(worksheet: Any, make_tap: Any, factor: float, **method: Any) -> Any:
    taps = [make_tap("S1-S2", 300, turns=300.0), make_tap("S1-S3", 600, turns=600.0)]
    sheet = worksheet("0.5 10 VA", taps)
    sheet.key("excitation", **{**AS_ASKED, "tap_id": "S1-S3"})
    sheet.points(HIGH, amperes(HIGH))
    sheet.key("excitation", take=2, **{**AS_ASKED, **method})
    sheet.points(HIGH / 2.0 * factor, amperes(HIGH) * 2.0, take=2)
    return sheet


def three(worksheet: Any, factors: tuple[float, ...], *responses: str) -> Any:
    sheet = worksheet("0.5 10 VA", phases=len(factors))
    for core, factor in enumerate(factors):
        response = responses[core] if responses else "mean"
        sheet.key("excitation", core=core, **{**AS_ASKED, "voltage_response": response})
        sheet.points(HIGH * factor, amperes(HIGH), core=core)
    return sheet


def before_and_after(worksheet: Any, kept: float, **method: Any) -> Any:
    sheet = worksheet("0.5 10 VA")
    volts = np.linspace(40.0, 480.0, 23)
    sheet.key("excitation", **{**AS_ASKED, "demagnetised": "no", **method})
    sheet.points(volts, amperes(volts) * (1.0 + kept * np.exp(-volts / 80.0)))
    sheet.key("excitation", take=2, **AS_ASKED)
    sheet.points(volts, amperes(volts), take=2)
    return sheet
