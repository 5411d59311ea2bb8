"""Leads, temperatures, settling, and direct current at the wrong time."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.ctcore.notices.windings import VOLTS, Winding

CURVE = Winding().curve(VOLTS)


def test_the_same_ohms_too_many_on_both_taps_are_leads(bay: Callable[..., Any]) -> None:
    """2 x 20 m of 2.5 mm2 are 0.30 ohm (IEC 60228: 7.41 ohm/km)."""
    made = bay()
    made.resistances("L1-1", lead_ohm=2 * 20e-3 * 7.41)
    (notice,) = made.noticed("leads_not_subtracted")

    assert notice.evidence[0].value == pytest.approx(0.2964, abs=0.001)
    assert "The leads are noted as four-wire" in notice.sentence


def test_leads_that_are_subtracted_are_told(bay: Callable[..., Any]) -> None:
    made = bay()
    made.resistances("L1-1", lead_ohm=0.6, leads="two_wire", r_lead_ohm=0.1)

    assert "of leads are subtracted" in made.noticed("leads_not_subtracted")[0].sentence


def test_resistance_in_proportion_to_the_turns_has_no_leads(bay: Callable[..., Any]) -> None:
    made = bay()
    made.resistances("L1-1", lead_ohm=0.02)

    assert made.noticed("leads_not_subtracted") == []


def test_one_tap_tells_nothing_of_leads(bay: Callable[..., Any]) -> None:
    made = bay()
    made.key("L1-1", "resistance", "S1-S3", r_measured_ohm=3.0)

    assert "Two taps of unlike turns" in made.reason("leads_not_subtracted")


def test_no_resistance_test_is_said(bay: Callable[..., Any]) -> None:
    made = bay()

    assert "No resistance test" in made.reason("leads_not_subtracted")
    assert "No resistance test" in made.reason("not_settled")
    assert "Neither resistance nor insulation" in made.reason("temperature_missing")
    assert "No winding temperature" in made.reason("temperature_doubtful")


@pytest.mark.parametrize(
    ("procedure", "row", "reading"),
    [
        ("resistance", "S1-S3", {"r_measured_ohm": 3.0}),
        ("insulation", "secondary_earth", {"insulation_resistance_ohm": 1e9}),
    ],
)
def test_a_missing_temperature_is_noticed(
    bay: Callable[..., Any], procedure: str, row: str, reading: dict[str, float]
) -> None:
    made = bay()
    made.key("L1-1", procedure, row, **reading)

    assert [entry.procedure for entry in made.noticed("temperature_missing")] == [procedure]


def test_a_temperature_that_is_there_is_not_missed(bay: Callable[..., Any]) -> None:
    made = bay()
    made.resistances("L1-1")

    assert made.noticed("temperature_missing") == []


@pytest.mark.parametrize(("degc", "ambient"), [(0, None), (75, None), (0, 12.0), (75, 20.0)])
def test_a_temperature_nobody_read_is_doubted(
    bay: Callable[..., Any], degc: float, ambient: float | None
) -> None:
    made = bay(ambient_degc=ambient)
    made.resistances("L1-1", t_winding_degc=degc)

    assert made.cores_noticed("temperature_doubtful") == [("L1-1",)]


def test_a_temperature_out_of_the_weather_is_doubted_unless_probed(bay: Callable[..., Any]) -> None:
    made = bay(ambient_degc=8.0)
    made.resistances("L1-1", t_winding_degc=30, t_winding_source="ambient_assumed")
    made.resistances("L2-1", t_winding_degc=30, t_winding_source="surface_probe")

    assert made.cores_noticed("temperature_doubtful") == [("L1-1",)]


def test_frost_is_no_default(bay: Callable[..., Any]) -> None:
    made = bay(ambient_degc=1.0)
    made.resistances("L1-1", t_winding_degc=0)

    assert made.noticed("temperature_doubtful") == []


def test_a_reading_after_three_seconds_had_not_settled(bay: Callable[..., Any]) -> None:
    made = bay()
    made.key("L1-1", "resistance", "S1-S3", r_measured_ohm=3.0, settle_s=3)
    made.key("L2-1", "resistance", "S1-S3", r_measured_ohm=3.0, settle_s=30)

    assert made.cores_noticed("not_settled") == [("L1-1",)]


def test_settling_that_was_not_timed_is_not_judged(bay: Callable[..., Any]) -> None:
    made = bay()
    made.key("L1-1", "resistance", "S1-S3", r_measured_ohm=3.0)

    assert "is not recorded" in made.reason("not_settled")


def test_direct_current_between_demagnetising_and_the_curve_is_noticed(bay: Callable[..., Any]) -> None:
    made = bay()
    made.key("L1-1", "demagnetising", demagnetising_method="ac_ramp")
    made.resistances("L1-1")
    made.curve("L1-1", CURVE)

    assert [entry.procedure for entry in made.noticed("dc_after_demagnetising")] == ["excitation"]


def test_direct_current_before_demagnetising_is_in_order(bay: Callable[..., Any]) -> None:
    made = bay()
    made.resistances("L1-1")
    made.key("L1-1", "demagnetising", demagnetising_method="ac_ramp")
    made.curve("L1-1", CURVE)

    assert made.noticed("dc_after_demagnetising") == []
    assert made.noticed("left_magnetised") == []


def test_the_order_needs_demagnetising_on_record(bay: Callable[..., Any]) -> None:
    assert "No demagnetising is recorded" in bay().reason("dc_after_demagnetising")


def test_a_kick_as_the_last_test_leaves_the_core_magnetised(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE)
    made.key("L1-1", "kick", "S1-S3", kick_make="up", kick_break="down")

    assert made.cores_noticed("left_magnetised") == [("L1-1",)]


def test_a_core_that_saw_no_direct_current_is_not_judged(bay: Callable[..., Any]) -> None:
    made = bay()
    assert "No test with direct current" in made.reason("left_magnetised")
    made.resistances("L1-1")
    assert "Neither demagnetising nor a curve" in made.reason("left_magnetised")
