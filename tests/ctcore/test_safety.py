"""The figures in a caution."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from ctcore.job import References
from ctcore.judge import scene_of
from ctcore.safety import (
    SafetyFigures,
    figures_of,
    open_secondary_least_v,
    placeholders,
    suggested_highest_v,
)
from ctcore.takes import takes_of


def tapped(worksheet: Any, make_tap: Any, class_text: str = "C400") -> Any:
    return worksheet(class_text, [make_tap("X2-X3", 100, 5, 20), make_tap("X1-X5", 1200, 5, 240)])


def figures(sheet: Any, procedure: str, row: str = "") -> SafetyFigures:
    takes = takes_of(sheet.readings)
    found = takes.get(("c1", procedure), ())
    return figures_of(scene_of(sheet.job, sheet.place(), takes), procedure, found[-1] if found else None, row)


def test_100_volts_on_20_of_240_turns_are_1200_volts(worksheet: Any, make_tap: Any) -> None:
    """V N_full/N_part. Source: arithmetic; exact."""
    sheet = tapped(worksheet, make_tap)
    sheet.key("excitation", tap_id="X2-X3")
    sheet.points([50, 100], [0.1, 0.2])

    found = figures(sheet, "excitation")

    assert (found.v_full_v, found.v_primary_v, found.terminals_text) == (1200.0, 5.0, "X2-X3")


def test_over_the_ceiling_of_the_job_is_told(worksheet: Any, make_tap: Any) -> None:
    sheet = tapped(worksheet, make_tap)
    sheet.references = References(voltage_ceiling_v=1000.0)
    sheet.key("excitation", tap_id="X2-X3")
    sheet.points([50, 100], [0.1, 0.2])

    assert figures(sheet, "excitation").over_ceiling


def test_the_row_in_hand_of_a_ratio_test_is_the_one_fed(worksheet: Any, make_tap: Any) -> None:
    sheet = tapped(worksheet, make_tap)
    sheet.key("ratio", "X2-X3", v_secondary_v=10)
    sheet.key("ratio", "X1-X5", v_secondary_v=100)

    assert figures(sheet, "ratio", "X2-X3").v_full_v == pytest.approx(120.0)


def test_discharge_takes_four_times_the_test(worksheet: Any) -> None:
    """Source: insulation-test practice, from memory."""
    sheet = worksheet()
    sheet.key("insulation", duration_s=60)
    sheet.key("insulation", "secondary_earth", v_test_v=500)

    found = figures(sheet, "insulation")

    assert (found.discharge_s, found.v_applied_v, found.v_full_v) == (240.0, 500.0, None)


def test_before_the_first_reading_nothing_is_known(worksheet: Any) -> None:
    texts = placeholders(figures(worksheet("0.5 10 VA"), "excitation"))

    assert (texts["v_full_v"], texts["terminals"]) == ("not known yet", "S1-S2")


def test_a_plate_without_terminals_gives_no_figures(worksheet: Any) -> None:
    assert figures(worksheet(taps=[]), "excitation").terminals_text is None


def test_the_suggested_highest_volts_follow_the_class(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    scene = scene_of(sheet.job, sheet.place(), {})

    assert suggested_highest_v(scene, sheet.cores[0].taps[0]) == pytest.approx(220.0)


def test_the_ceiling_is_brought_down_to_the_turns_of_a_tap(worksheet: Any, make_tap: Any) -> None:
    sheet = tapped(worksheet, make_tap, "PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    sheet.references = References(voltage_ceiling_v=600.0)
    scene = scene_of(sheet.job, sheet.place(), {})

    assert suggested_highest_v(scene, sheet.cores[0].taps[0]) == pytest.approx(50.0)


def test_with_neither_class_nor_ceiling_no_volts_are_suggested(worksheet: Any) -> None:
    sheet = worksheet("")
    scene = scene_of(sheet.job, sheet.place(), {})

    assert suggested_highest_v(scene, sheet.cores[0].taps[0]) is None


def test_the_energy_of_a_resistance_test_is_known_by_the_curve_of_its_tap(worksheet: Any) -> None:
    """A straight curve of 1000 ohm at 50 Hz is 3.183 H; half L I^2 at 0.05 A is 3.98 mJ; arithmetic."""
    sheet = worksheet()
    sheet.key("resistance", "S1-S2", r_measured_ohm=3.0, i_test_a=0.05)
    sheet.key("excitation", frequency_hz=50)
    sheet.points([20.0, 40.0, 80.0], [0.02, 0.04, 0.08])

    assert figures(sheet, "resistance").w_stored_j == pytest.approx(3.979e-3, rel=1e-3)


def test_energy_beyond_the_curve_or_without_one_is_not_known(worksheet: Any) -> None:
    sheet = worksheet()
    sheet.key("resistance", "S1-S2", r_measured_ohm=3.0, i_test_a=5.0)
    alone = figures(sheet, "resistance").w_stored_j
    sheet.points([20.0, 40.0, 80.0], [0.02, 0.04, 0.08])

    assert (alone, figures(sheet, "resistance").w_stored_j) == (None, None)
    assert placeholders(SafetyFigures())["w_stored_j"] == "not known yet"


def test_before_anything_is_fed_the_highest_volts_are_known_on_all_turns_and_on_the_primary(
    worksheet: Any, make_tap: Any
) -> None:
    """1.1 x 200 V on 600 turns and 1/600 of it on the primary. Source: arithmetic; IEC 61869-2, 3.4.215."""
    sheet = worksheet(
        "PX Ek 200 V Ie 30 mA Rct 2.5 ohm", [make_tap("S1-S3", 600, 1, 600), make_tap("S1-S2", 300, 1, 300)]
    )
    sheet.key("excitation", tap_id="S1-S3")
    found = figures(sheet, "excitation")

    assert (found.v_applied_v, found.v_full_v) == (None, None)
    assert found.v_full_highest_v == pytest.approx(220.0)
    assert found.v_primary_highest_v == pytest.approx(220.0 / 600.0)


def test_a_secondary_left_open_gives_at_least_the_peak_of_its_knee(worksheet: Any) -> None:
    """sqrt(2) x 200 V from the plate before a curve is there, from the measured knee afterwards."""
    sheet = worksheet("PX Ek 200 V Ie 30 mA Rct 2.5 ohm")

    assert figures(sheet, "visual").v_open_least_v == pytest.approx(282.8, abs=0.1)
    assert placeholders(figures(sheet, "links_back"))["v_open_least_v"].startswith("280")
    sheet.points([50, 150, 250, 275, 290, 300], [0.005, 0.010, 0.016, 0.030, 0.070, 0.15])
    measured = figures(sheet, "visual").v_open_least_v
    assert measured is not None
    assert measured > 1.414 * 240.0


def test_a_class_without_a_knee_says_nothing_of_an_open_secondary(worksheet: Any) -> None:
    assert figures(worksheet("0.5 10 VA"), "visual").v_open_least_v is None


def test_the_bound_of_an_open_secondary_holds_on_a_saturating_core() -> None:
    """A core whose flux is the arc tangent of its current, fed by a forced sine of current.

    Source: arithmetic, by numbers of numpy; with unit angular frequency and one turn the voltage is dflux/dt.
    """
    angle = np.linspace(0.0, 2.0 * np.pi, 20001)
    flux_peak = np.linspace(0.4, 1.3, 1801)
    rms = np.sqrt(np.mean(np.tan(flux_peak[:, None] * np.sin(angle[None, ::20])) ** 2, axis=1))
    further = np.interp(1.1 * flux_peak, flux_peak, rms, right=np.nan)
    knee_flux = flux_peak[np.nanargmax(further >= 1.5 * rms)]
    forced = np.tan(knee_flux) * np.array([1.0, 3.0, 30.0])
    flux = np.arctan(forced[:, None] * np.sin(angle[None, :]))
    peaks = np.abs(np.gradient(flux, angle, axis=1)).max(axis=1)
    least = open_secondary_least_v(float(knee_flux) / np.sqrt(2.0))

    assert (peaks >= least).all()
    assert peaks[2] > 30.0 * least
