"""Ratio readings by instrument and by voltage."""

from __future__ import annotations

from typing import Any

AT_BURDEN = {"ratio_method": "instrument", "burden_in_circuit_va": 10, "burden_power_factor_ratio": 0.8}
FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 20, "t_winding_source": "surface_probe"}
PX = "PX Ek 200 V Ie 30 mA Rct 2.5 ohm"


def by_instrument(
    worksheet: Any, class_text: str, percent: float, error: float, phase: float | None, **method: Any
) -> Any:
    sheet = worksheet(class_text)
    sheet.key("ratio", **{**AT_BURDEN, **method})
    sheet.key(
        "ratio",
        "S1-S2",
        i_percent_rated_percent=percent,
        ratio_error_read_percent=error,
        polarity_read="agrees",
    )
    if phase is not None:
        sheet.key("ratio", "S1-S2", phase_displacement_arcmin=phase)
    return sheet


def by_voltage(worksheet: Any, class_text: str, secondary: Any, primary: Any, **more: Any) -> Any:
    sheet = worksheet(class_text)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("ratio", ratio_method="voltage")
    sheet.key("ratio", "S1-S2", v_secondary_v=secondary, v_primary_v=primary, polarity_read="agrees", **more)
    return sheet
