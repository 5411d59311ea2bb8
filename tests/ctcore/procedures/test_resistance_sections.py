"""The sections of a tapped winding add up to the whole."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.judgement.plate import sections_of

FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 75, "t_winding_source": "surface_probe"}
PAIRS = {"X1-X2": 40.0, "X2-X3": 20.0, "X3-X4": 100.0, "X4-X5": 80.0, "X1-X5": 240.0, "X1-X3": 60.0}


def sectioned(worksheet: Any, make_tap: Any, lead_ohm: float = 0.0, **changed: float) -> Any:
    """1200:5 with 2.5 milliohm a turn, and a lead left in every reading."""
    sheet = worksheet("C400", [make_tap(name, turns * 5, 5, turns) for name, turns in PAIRS.items()])
    sheet.key("resistance", **FOUR_WIRE)
    for name, turns in PAIRS.items():
        ohm = changed.get(name.replace("-", "_"), 0.0025 * turns)
        sheet.key("resistance", name, r_measured_ohm=round(ohm + lead_ohm, 6))
    return sheet


def test_sections_that_add_up_are_within(worksheet: Any, make_tap: Any) -> None:
    """0.1 + 0.05 + 0.25 + 0.2 = 0.6 ohm (arithmetic)."""
    found = sectioned(worksheet, make_tap).found("resistance.sections")

    assert (found.verdict, found.row) == ("within", "X1-X5")
    assert found.value == pytest.approx(0.0, abs=1e-9)
    assert "4 sections" in found.text


def test_a_lead_left_in_every_reading_stands_in_every_section(worksheet: Any, make_tap: Any) -> None:
    """2 x 5 m of 2.5 mm2 is 0.074 ohm: four of them in the sections against one in the whole (arithmetic)."""
    found = sectioned(worksheet, make_tap, lead_ohm=0.074).found("resistance.sections")

    assert found.verdict == "refer"
    assert found.value == pytest.approx(100.0 * 3 * 0.074 / 0.674, rel=1e-6)
    assert "0.07400" in found.text


def test_a_section_read_too_low_is_referred(worksheet: Any, make_tap: Any) -> None:
    found = sectioned(worksheet, make_tap, X3_X4=0.2).found("resistance.sections")

    assert found.verdict == "refer"
    assert "leads left in" not in found.text


def test_a_section_that_was_not_read_leaves_the_sum_open(worksheet: Any, make_tap: Any) -> None:
    sheet = sectioned(worksheet, make_tap)
    sheet.readings = [entry for entry in sheet.readings if entry.row != "X3-X4"]

    assert "resistance.sections" not in sheet.rules()


def test_the_most_sections_from_end_to_end_are_taken(worksheet: Any, make_tap: Any) -> None:
    found = sections_of(sectioned(worksheet, make_tap).cores[0])

    assert [tap.terminals_text for tap in found] == ["X1-X2", "X2-X3", "X3-X4", "X4-X5"]


@pytest.mark.parametrize("names", [["S1-S2"], ["S1", "S2"], ["S1-S2", "S1-S3"], ["S1-S2", "S2-S1", "S1-S3"]])
def test_a_plate_without_a_chain_of_taps_has_no_sections(
    worksheet: Any, make_tap: Any, names: list[str]
) -> None:
    taps = [make_tap(name, 100.0 * (place + 1)) for place, name in enumerate(names)]

    assert sections_of(worksheet("C400", taps).cores[0]) == ()


def test_a_core_without_taps_has_no_sections(worksheet: Any) -> None:
    assert sections_of(worksheet("C400", []).cores[0]) == ()
