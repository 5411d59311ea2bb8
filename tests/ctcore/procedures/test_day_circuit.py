"""Burden, primary injection and load, judged."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from tests.ctcore.procedures.keyed_day import burden, injected, load, load_findings, verdict

# Burden


@pytest.mark.parametrize(
    ("class_text", "volts", "expected"),
    [
        ("5P20 15 VA", 14.0, "within"),
        ("5P20 15 VA", 15.5, "outside"),
        ("5P20 15 VA", 0.5, "within"),
        ("0.5 FS5 10 VA", 6.0, "within"),
        ("0.5 FS5 10 VA", 2.4, "outside"),
        ("PX Ek 200 V Ie 30 mA Rct 2.5 ohm", 6.0, "not applicable"),
    ],
)
def test_the_connected_burden_is_held_against_the_class(
    worksheet: Callable[..., Any], class_text: str, volts: float, expected: str
) -> None:
    sheet = worksheet(class_text)
    burden(sheet, volts, phase_burden_deg=10)

    assert verdict(sheet, "burden.range") == expected


def test_the_burden_is_carried_to_rated_current(worksheet: Callable[..., Any]) -> None:
    """0.5 A at 3 V is 6 ohm, 6 VA at 1 A; at 60 degrees 3 ohm and 5.196 ohm; arithmetic."""
    sheet = worksheet()
    burden(sheet, 3.0, 0.5, phase_burden_deg=60)
    found = [
        sheet.derived("burden", name, "connected").value
        for name in ("z_burden_ohm", "r_burden_ohm", "x_burden_ohm", "burden_connected_va")
    ]

    assert found == pytest.approx([6.0, 3.0, 6.0 * math.sin(math.pi / 3), 6.0])


def test_a_c_class_takes_the_burden_of_its_class(
    worksheet: Callable[..., Any], make_tap: Callable[..., Any]
) -> None:
    """C100 is B-1, 25 VA at 5 A (IEEE C57.13)."""
    heavy, light = (worksheet("C100", [make_tap("X1-X5", 600, 5.0)]) for _ in range(2))
    burden(heavy, 5.5, 5.0)
    burden(light, 4.5, 5.0)

    assert (verdict(heavy, "burden.range"), verdict(light, "burden.range")) == ("outside", "within")


def test_an_angle_that_gives_power_back_is_refused_in_words(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    burden(sheet, 5.0, phase_burden_deg=120)

    assert "a burden takes power" in sheet.found("burden.reading").text


def test_leads_by_length_and_by_measurement_are_compared(worksheet: Callable[..., Any]) -> None:
    """50 m of 2.5 mm2 there and back: 0.741 ohm (IEC 60228, 7.41 ohm/km)."""
    sheet = worksheet()
    sheet.key("burden", wire_area_mm2=2.5, wire_length_m=50, wire_loop="there_and_back")
    burden(sheet, 5.0)
    sheet.key("burden", "leads", v_burden_v=0.70, i_burden_a=1.0)

    assert sheet.derived("burden", "r_wire_ohm", "leads").value == pytest.approx(0.741)
    assert verdict(sheet, "burden.leads") == "within"


def test_leads_counted_one_way_are_no_full_within(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("burden", wire_area_mm2=2.5, wire_length_m=50, wire_loop="one_way")
    burden(sheet, 5.0)

    assert verdict(sheet, "burden.range") == "refer"


# Primary injection


@pytest.mark.parametrize(
    ("residual", "expected"), [(0.004, "within"), (0.998, "outside"), (0.5, "refer"), (0.9, "outside")]
)
def test_the_residual_between_two_phases_tells_polarity(
    worksheet: Callable[..., Any], residual: float, expected: str
) -> None:
    sheet = worksheet()
    injected(sheet, "two_phases", 300.0, 0.5, residual)

    assert verdict(sheet, "injection.residual_two_phases") == expected


@pytest.mark.parametrize(("residual", "expected"), [(0.5, "within"), (0.25, "refer")])
def test_one_phase_returns_whole_through_the_residual(
    worksheet: Callable[..., Any], residual: float, expected: str
) -> None:
    sheet = worksheet()
    injected(sheet, "one_phase", 300.0, 0.5, residual)

    assert verdict(sheet, "injection.residual_one_phase") == expected


@pytest.mark.parametrize(
    ("primary", "secondary", "expected"),
    [(300.0, 0.5, "within"), (300.0, 1.0, "refer"), (60.0, 0.1, "refer")],
)
def test_the_ratio_through_the_circuit_is_told_from_a_quarter_of_rated_current(
    worksheet: Callable[..., Any], primary: float, secondary: float, expected: str
) -> None:
    sheet = worksheet()
    injected(sheet, "one_phase", primary, secondary, secondary)

    assert verdict(sheet, "injection.ratio", "one_phase") == expected


def test_a_row_that_was_not_injected_is_not_tested(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    injected(sheet, "one_phase", 300.0, 0.5, 0.5)

    assert verdict(sheet, "injection.reading", "two_phases") == "not tested"


# Load


@pytest.mark.parametrize(
    ("angles", "order", "residual"),
    [
        ((-20.0, -140.0, 100.0), "within", "within"),
        ((-20.0, 100.0, -140.0), "refer", "within"),
        ((160.0, -140.0, 100.0), "refer", "outside"),
    ],
)
def test_angles_of_the_phases_tell_order_and_a_phase_turned_round(
    worksheet: Callable[..., Any], angles: tuple[float, float, float], order: str, residual: str
) -> None:
    sheet = worksheet(phases=3)
    load(sheet, angles)
    found = load_findings(sheet)

    assert (found["load.order"], found["load.residual"], found["load.current"]) == (order, residual, "within")


def test_a_light_load_is_an_indication_only(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet(phases=3)
    load(sheet, (-20.0, -140.0, 100.0), current=0.05)

    assert set(load_findings(sheet).values()) == {"refer"}
    assert sheet.derived("load", "load_percent", "load").value == pytest.approx(5.0)


def test_one_phase_alone_tells_no_order(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet(phases=3)
    sheet.key("load", "load", i_secondary_a=0.4, phase_to_reference_deg=-20)

    assert load_findings(sheet) == {
        "load.current": "refer",
        "load.order": "not tested",
        "load.residual": "not tested",
    }
