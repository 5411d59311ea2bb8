"""The budget of every derived value of a worksheet: its lines add up to the uncertainty that is told."""

from __future__ import annotations

from importlib import resources
from typing import Any

import numpy as np
import pytest

from app.exchange import jobfile
from ctcore.job import Instrument, Job, places
from ctcore.judge import budget_of, derived, scene_of
from ctcore.takes import takes_of
from samples import sample

VOLTS = np.array([50.0, 100, 150, 200, 250, 300, 320, 340, 350, 360, 370, 380, 390, 400, 410, 420, 440, 460])
AS_ASKED = {
    "tap_id": "S1-S2", "frequency_hz": 50, "voltage_response": "mean", "current_response": "true_rms",
    "demagnetised": "yes_no_dc_since", "primary_state": "open", "other_cores": "none", "links": "lifted",
}  # fmt: skip


def amperes(volts: Any) -> Any:
    return 0.02 * (np.asarray(volts) / 400.0) ** 0.6 + 0.004 * (np.asarray(volts) / 400.0) ** 18


@pytest.fixture
def metered(worksheet: Any) -> Any:
    """Makes a core of a class with every test taken by one meter that states its limits of error."""

    def make(class_text: str) -> Any:
        sheet = worksheet(class_text)
        sheet.instruments = (Instrument(instrument_id="m1", name_text="Meter 1", spec_reading_percent=0.3),)
        rows = [
            ("resistance", "method", {"leads": "two_wire", "t_winding_degc": "20.0", "r_lead_ohm": "0.10"}),
            ("resistance", "S1-S2", {"r_measured_ohm": "2.105"}),
            ("insulation", "method", {"t_winding_degc": "20.0"}),
            ("insulation", "secondary_earth", {"v_test_v": "500", "insulation_resistance_ohm": "5.0E+8"}),
            ("ratio", "method", {"ratio_method": "voltage"}),
            ("ratio", "S1-S2", {"v_secondary_v": "120.1", "v_primary_v": "0.2001"}),
            ("burden", "connected", {"v_burden_v": "4.51", "i_burden_a": "1.001", "phase_burden_deg": "12"}),
        ]
        for procedure, row, fields in rows:
            for quantity, text in fields.items():
                sheet.add(procedure, row, quantity, text, instrument_id="m1")
        sheet.key("ratio", take=2, ratio_method="current", burden_in_circuit_va=10)
        sheet.add("ratio", "S1-S2", "i_primary_a", "600.5", take=2, instrument_id="m1")
        sheet.add("ratio", "S1-S2", "i_secondary_a", "1.0004", take=2, instrument_id="m1")
        sheet.key("ratio", take=3, ratio_method="instrument", burden_in_circuit_va=10)
        sheet.add("ratio", "S1-S2", "ratio_error_read_percent", "0.12", take=3, instrument_id="m1")
        sheet.key("ratio", take=4, ratio_method="comparison", k_reference_ratio=600, burden_in_circuit_va=10)
        sheet.key("ratio", take=4, reference_error_percent=0.05, u_reference_error_percent=0.04)
        sheet.add("ratio", "S1-S2", "i_reference_a", "1.0010", take=4, instrument_id="m1")
        sheet.add("ratio", "S1-S2", "i_secondary_a", "1.0004", take=4, instrument_id="m1")
        sheet.key("excitation", **AS_ASKED)
        sheet.points(VOLTS, amperes(VOLTS), instrument_id="m1")
        sheet.add("excitation", "method", "remanence_read_percent", "8.0", instrument_id="m1")
        for row, current in enumerate(amperes(VOLTS), start=1):
            peak = f"{1.6 * float(current):.6f}"
            sheet.add("excitation", str(row), "i_excitation_peak_a", peak, instrument_id="m1")
        return sheet

    return make


def apart(job: Job) -> list[tuple[str, str, str, float | None, float | None]]:
    """Derived values whose told uncertainty is not that of their budget."""
    takes = takes_of(job.readings)
    found = []
    for place in places(job):
        scene = scene_of(job, place, takes)
        for (core_id, procedure_id, number), entries in derived(job, place, takes).items():
            take = next(one for one in takes[core_id, procedure_id] if one.take == number)
            for entry in entries:
                budget = budget_of(scene, take, entry.row, entry.quantity_id)
                u = None if budget is None else budget.u_expanded
                same = u is None and entry.u_expanded is None
                if budget is not None and u is not None and entry.u_expanded is not None:
                    same = u == pytest.approx(entry.u_expanded, rel=1e-9) and budget.value == pytest.approx(
                        entry.value, rel=1e-9
                    )
                if not same:
                    found.append((procedure_id, entry.row, entry.quantity_id, entry.u_expanded, u))
    return found


@pytest.mark.parametrize(
    "class_text",
    [
        "5P20 15 VA",
        "0.5 FS5 10 VA",
        "PX Ek 350 V Ie 30 mA Rct 2.5 ohm",
        "PX Ek 400 V Ie 30 mA at 50 % Ek Rct 2.5 ohm",
        "C50",
        "X Ek 350 V Ie 30 mA Rct 2.5 ohm",
        "0.2; 5P20 15 VA",
        "PX",
        "TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm",
        "TPY Kssc 50 Ktd 4 Ts 0.5 s Rb 10 ohm",
        "5PR20 15 VA",
    ],
)
def test_every_told_uncertainty_is_that_of_its_budget(metered: Any, class_text: str) -> None:
    assert apart(metered(class_text).job) == []


@pytest.mark.parametrize("name", ["line_bay", "ring_bus_multi_ratio", "steel_toroid"])
def test_the_samples_tell_no_uncertainty_without_its_budget(name: str) -> None:
    with resources.as_file(sample(name).file) as path:
        job = jobfile.load(path)

    assert apart(job) == []


def test_a_budget_reads_line_by_line(metered: Any) -> None:
    """0.3 % of 2.105 ohm as a rectangular limit is 0.00365 ohm, times 309.5/254.5 (JCGM 100, 4.3.7)."""
    sheet = metered("5P20 15 VA")
    takes = takes_of(sheet.readings)
    scene = scene_of(sheet.job, sheet.place(), takes)

    budget = budget_of(scene, takes["c1", "resistance"][0], "S1-S2", "r_winding_75degc_ohm")

    assert budget is not None
    row = next(line for line in budget.rows() if line.name == "resistance as read")
    assert row.source == "Meter 1"
    assert row.contribution == pytest.approx(0.003 * 2.105 / 3**0.5 * 309.5 / 254.5)
    assert {line.name for line in budget.lines} == {
        "winding temperature",
        "winding temperature, last digit",
        "resistance as read",
        "resistance as read, last digit",
        "lead resistance",
        "lead resistance, last digit",
    }


@pytest.mark.parametrize(
    ("procedure", "row", "quantity"),
    [
        ("resistance", "S1-S2", "r_spread_percent"),
        ("resistance", "nowhere", "r_winding_ohm"),
        ("ratio", "S1-S2", "polarity"),
        ("ratio", "nowhere", "turns_ratio"),
        ("ratio", "S1-S2", "ratio_error_percent"),
        ("insulation", "secondary_earth", "duration_s"),
        ("insulation", "primary_earth", "insulation_resistance_20degc_ohm"),
        ("burden", "leads", "burden_connected_va"),
        ("burden", "connected", "x_burden_ohm"),
        ("excitation", "1", "v_knee_iec_v"),
        ("excitation", "", "v_highest_v"),
    ],
)
def test_what_carries_no_uncertainty_has_no_budget(
    metered: Any, procedure: str, row: str, quantity: str
) -> None:
    sheet = metered("5P20 15 VA")
    takes = takes_of(sheet.readings)
    scene = scene_of(sheet.job, sheet.place(), takes)

    assert budget_of(scene, takes["c1", procedure][0], row, quantity) is None


def test_readings_of_no_stated_meter_have_no_budget(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.key("resistance", leads="four_wire", t_winding_degc=20)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    takes = takes_of(sheet.readings)
    scene = scene_of(sheet.job, sheet.place(), takes)

    assert budget_of(scene, takes["c1", "resistance"][0], "S1-S2", "r_winding_ohm") is None
