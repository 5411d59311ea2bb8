"""Readings of inspection, demagnetising, burden, injection and load."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from ctcore.findings import Finding

STEEL = [20.0, 40.0, 80.0, 120.0, 160.0, 200.0, 240.0, 280.0, 320.0, 360.0, 380.0, 400.0, 420.0, 440.0, 460.0]


def amperes(factor: float = 1.0) -> list[float]:
    return [0.04 * factor * (0.9 * (v / 400.0) ** 0.8 + 0.1 * (v / 400.0) ** 18) for v in STEEL]


def verdict(sheet: Any, rule: str, row: str | None = None, core: int = 0) -> str:
    return str(sheet.found(rule, row, core).verdict)


def seen(sheet: Any, *, core: int = 0, **counts: int) -> None:
    asked = {
        "earths_drawn_count": 1,
        "earths_found_count": 1,
        "links_found_count": 4,
        "links_lifted_count": 4,
    }
    sheet.key("visual", core=core, **{**asked, **counts})
    for row in ("plate", "damage", "direction", "shorting"):
        sheet.key("visual", row, core=core, check_answer="yes")


def demagnetised(sheet: Any, *, method: str = "ac_ramp", core: int = 0, **row: Any) -> None:
    sheet.key("demagnetising", core=core, demagnetising_method=method)
    start = {"v_start_v": 500.0} if method == "ac_ramp" else {"i_start_a": 0.5}
    asked = {**start, "steps_count": 22, "time_to_zero_s": 40, "demagnetising_end": "zero"}
    sheet.key("demagnetising", "winding", core=core, **{**asked, **row})


def curve(sheet: Any, factor: float = 1.0, *, take: int = 1, core: int = 0, low: float = 1.0) -> None:
    rows = [
        i * (1.0 + (low - 1.0) * math.exp(-v / 80.0)) for v, i in zip(STEEL, amperes(factor), strict=True)
    ]
    sheet.points(STEEL, rows, take=take, core=core)


def burden(sheet: Any, volts: float, current: float = 1.0, **more: Any) -> None:
    sheet.key("burden", "connected", v_burden_v=volts, i_burden_a=current, **more)


def injected(sheet: Any, row: str, primary: float, secondary: float, residual: float) -> None:
    sheet.key("injection", row, i_primary_a=primary, i_secondary_a=secondary, i_residual_a=residual)


def load(sheet: Any, angles: tuple[float, float, float], current: float = 0.4) -> None:
    for core, angle in enumerate(angles):
        sheet.key("load", core=core, voltage_reference_text="L1-N", i_load_primary_a=current * 600.0)
        sheet.key("load", "load", core=core, i_secondary_a=current, phase_to_reference_deg=angle)


def load_findings(sheet: Any) -> dict[str, str]:
    found: list[Finding] = sheet.findings()
    return {entry.rule: entry.verdict for entry in found if entry.rule.startswith("load.")}


def compared(worksheet: Callable[..., Any], class_text: str, phase: float, **reference: float) -> Any:
    """A core against a reference transformer of the same ratio, at the burden of its class."""
    sheet = worksheet(class_text)
    sheet.key("ratio", ratio_method="comparison", k_reference_ratio=600, reference_error_percent=0.0)
    power_factor = 0.9 if class_text.startswith("0.3") else 0.8
    sheet.key("ratio", burden_in_circuit_va=12.5 if class_text.startswith("0.3") else 10)
    sheet.key("ratio", burden_power_factor_ratio=power_factor, **reference)
    sheet.key("ratio", "S1-S2", i_reference_a=1.0, i_secondary_a=1.0, phase_displacement_arcmin=phase)
    return sheet
