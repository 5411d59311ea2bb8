"""A core with its resistance and a curve whose knees are known in closed form."""

from __future__ import annotations

from typing import Any

import numpy as np

from ctcore.curve import NextReading
from ctcore.judge import scene_of
from ctcore.judgement.excitation_targets import finer_point
from ctcore.procedures.excitation import CurveView, curve_of
from ctcore.takes import takes_of

FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 75, "t_winding_source": "surface_probe"}
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
# I = 0.02 (V/400)^0.6 + 0.004 (V/400)^18: knees at 386.2177, 353.7082 and 376.452 V (closed form).
VOLTS = np.array(
    [50, 100, 150, 200, 250, 300, 320, 340, 350, 360, 370, 380, 390, 400, 410, 420, 430, 440, 460]
)


def amperes(volts: Any) -> Any:
    return 0.02 * (np.asarray(volts) / 400.0) ** 0.6 + 0.004 * (np.asarray(volts) / 400.0) ** 18


def taken(
    worksheet: Any, class_text: str, *, ohm: float | None = 2.0, volts: Any = VOLTS, **core: Any
) -> Any:
    """A core of that class with its resistance at 75 degC and the curve above."""
    sheet = worksheet(class_text, **core)
    if ohm is not None:
        sheet.key("resistance", **FOUR_WIRE)
        sheet.key("resistance", "S1-S2", r_measured_ohm=ohm)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(volts, amperes(volts))
    return sheet


def view_of(sheet: Any, take: int = 1) -> CurveView:
    takes = takes_of(sheet.readings)
    scene = scene_of(sheet.job, sheet.place(), takes)
    return curve_of(scene, takes["c1", "excitation"][take - 1])


def finer_of(sheet: Any) -> NextReading:
    scene = scene_of(sheet.job, sheet.place(), takes_of(sheet.readings))
    return finer_point(scene, view_of(sheet), scene.core.taps[0])


def relay(worksheet: Any, make_tap: Any, class_text: str, factor: float, ohm: float = 0.5) -> Any:
    """1200:5, 0.5 ohm; the curve of the steel scaled to 400 V times a factor, currents x 50."""
    sheet = worksheet(class_text, [make_tap("S1-S2", 1200, 5, 240)])
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=ohm)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS * factor, amperes(VOLTS) * 50)
    return sheet
