"""Cores, curves and limits to start from: what one slip, gap or missing word could make a wrong "within"."""

from __future__ import annotations

from typing import Any

from ctcore.job import LimitOverride, References

AT_75 = {"leads": "four_wire", "t_winding_degc": 75, "t_winding_source": "surface_probe"}
AS_ASKED = {
    "tap_id": "S1-S2",
    "frequency_hz": 50,
    "voltage_response": "mean",
    "current_response": "true_rms",
    "demagnetised": "yes_no_dc_since",
    "primary_state": "open",
    "other_cores": "shorted",
    "links": "lifted",
}
AT_BURDEN = {"ratio_method": "instrument", "burden_in_circuit_va": 10, "burden_power_factor_ratio": 0.8}
RISING_V = [50, 100, 150, 200, 250, 300, 320, 340, 350, 360, 370, 380, 390, 400, 410, 420, 430, 440, 460]


def amperes(volts: list[float]) -> list[float]:
    return [0.02 * (v / 400.0) ** 0.6 + 0.004 * (v / 400.0) ** 18 for v in volts]


def cored(worksheet: Any, class_text: str, *, ohm: float = 2.0, **core: Any) -> Any:
    """A core with its resistance at 75 degC and an excitation test as the standard asks, no points yet."""
    sheet = worksheet(class_text, **core)
    terminals = sheet.cores[0].taps[0].terminals_text
    sheet.key("resistance", **AT_75)
    sheet.key("resistance", terminals, r_measured_ohm=ohm)
    sheet.key("excitation", **{**AS_ASKED, "tap_id": terminals})
    return sheet


def curved(worksheet: Any, class_text: str, **more: Any) -> Any:
    sheet = cored(worksheet, class_text, **more)
    sheet.points(RISING_V, amperes(RISING_V))
    return sheet


def override(rule: str, low: float | None, high: float | None, **more: str) -> References:
    words = {"reason_text": "agreed with the customer", "person_text": "B. Ruler", **more}
    entry = LimitOverride(rule=rule, core_id="", limit_low=low, limit_high=high, **words)
    return References(limit_overrides=(entry,))


def insulated(
    worksheet: Any, ohm: str, *, row: str = "secondary_earth", volts: float = 500, **more: Any
) -> Any:
    sheet = worksheet()
    sheet.key("insulation", t_winding_degc=20)
    sheet.key("insulation", row, v_test_v=volts)
    sheet.add("insulation", row, "insulation_resistance_ohm", ohm, **more)
    return sheet
