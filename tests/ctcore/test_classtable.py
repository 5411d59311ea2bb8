"""The whole table of a class from the exciting current: places, extremes, verdicts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from ctcore import transfer
from ctcore.classtable import Cell, Winding, class_table
from ctcore.curve import Curve
from ctcore.errors import BadInput
from ctcore.nameplate import parse_class

FIVE_AMPERE = Winding(600.0, 600.0, 5.0, 0.2)


def exciting(emf_v: float) -> complex:
    """One milliampere for each volt, lagging by 60 degrees: 0.5 mS of loss, 0.866 mS of magnetising."""
    return (0.0005 - 0.000866j) * emf_v


def table(text: str, winding: Winding = FIVE_AMPERE, scale: float = 1.0) -> tuple[Cell, ...]:
    return class_table(parse_class(text), winding, lambda emf_v: scale * exciting(emf_v), angle_known=True)


def bounds(text: str, scale: float = 1.0) -> tuple[Cell, ...]:
    return class_table(
        parse_class(text), FIVE_AMPERE, lambda emf_v: abs(scale * exciting(emf_v)), angle_known=False
    )


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("0.5 15 VA", [(at, b) for b in ("3.75 VA", "15 VA") for at in (5, 20, 100, 120)]),
        ("0.2S 2.5 VA", [(at, b) for b in ("1 VA", "2.5 VA") for at in (1, 5, 20, 100, 120)]),
        ("0.2 ext. 200 % 10 VA", [(at, b) for b in ("2.5 VA", "10 VA") for at in (5, 20, 100, 200)]),
        ("0.5 1-10 VA", [(at, b) for b in ("1 VA", "10 VA") for at in (5, 20, 100, 120)]),
        ("0.5 1 VA", [(at, "1 VA") for at in (5, 20, 100, 120)]),
        ("3 15 VA", [(at, b) for b in ("7.5 VA", "15 VA") for at in (50, 120)]),
        ("5P20 15 VA", [(100, "15 VA")]),
        ("0.3 B-0.1 B-0.5", [(at, b) for b in ("B-0.1", "B-0.5") for at in (10, 100)]),
        ("0.15 B-0.5 RF 2", [(5, "B-0.5"), (100, "B-0.5"), (200, "B-0.5")]),
        ("0.3 B-0.5 RF 1", [(10, "B-0.5"), (100, "B-0.5")]),
    ],
)
def test_the_table_has_a_cell_for_each_current_and_burden(text: str, places: list[tuple[float, str]]) -> None:
    assert [(cell.percent_current, cell.burden_text) for cell in table(text)] == places


def test_a_cell_holds_the_errors_of_its_current_and_burden() -> None:
    (cell,) = table("5P20 15 VA")
    expected = transfer.errors(600, 600, 5.0, 0.2, 0.48 + 0.36j, 0.0005 - 0.000866j)
    assert cell.emf_v == pytest.approx(expected.emf_v)
    assert cell.ratio_error_percent.low == pytest.approx(expected.ratio_error_percent)
    assert cell.phase_displacement_arcmin.high == pytest.approx(expected.phase_displacement_arcmin)


@pytest.mark.parametrize("text", ["0.5 15 VA", "0.2S 5 VA", "5P20 15 VA", "0.3 B-0.5", "10P10 15 VA"])
def test_a_small_exciting_current_is_within_everywhere(text: str) -> None:
    assert {cell.verdict for cell in table(text)} == {"within"}


@pytest.mark.parametrize("text", ["0.5 15 VA", "0.2S 5 VA", "5P20 15 VA", "0.3 B-0.5", "10P10 15 VA"])
def test_a_gross_exciting_current_is_outside_everywhere(text: str) -> None:
    assert {cell.verdict for cell in table(text, scale=300.0)} == {"outside"}


@pytest.mark.parametrize("text", ["0.5 15 VA", "0.3 B-0.5", "5P20 15 VA"])
@pytest.mark.parametrize("scale", [0.5, 2.0, 5.0, 20.0])
def test_the_extremes_without_the_angle_hold_what_the_angle_gives(text: str, scale: float) -> None:
    pairs = zip(table(text, scale=scale), bounds(text, scale), strict=True)
    held = [
        wide.ratio_error_percent.low <= cell.ratio_error_percent.low <= wide.ratio_error_percent.high
        and wide.phase_displacement_arcmin.low
        <= cell.phase_displacement_arcmin.low
        <= wide.phase_displacement_arcmin.high
        for cell, wide in pairs
    ]
    assert all(held)


def test_extremes_on_both_sides_of_a_limit_refer() -> None:
    cell = bounds("0.2 15 VA", 4.0)[-1]
    assert cell.verdict == "refer"
    assert "without the angle" in cell.reason


def test_a_turn_too_few_beyond_the_limit_is_outside_without_the_angle() -> None:
    winding = replace(FIVE_AMPERE, ns_over_np_ratio=590.0)
    cells = class_table(parse_class("0.2 15 VA"), winding, lambda _: 1e-6, angle_known=False)
    assert cells[-1].verdict == "outside"


def test_a_phase_angle_alone_puts_a_metering_cell_outside() -> None:
    """RCF of 1.001 and 12 minutes: the transformer correction factor fails class 0.3."""
    cells = class_table(parse_class("0.3 B-0.2"), FIVE_AMPERE, lambda _: -0.02j, angle_known=True)
    assert cells[1].verdict == "outside"
    assert "TCF" in cells[1].reason
    assert "RCF" not in cells[1].reason


def test_cells_below_the_readings_of_the_curve_are_not_tested() -> None:
    curve = Curve([2.0, 4.0, 8.0], [0.002, 0.004, 0.008])
    cells = class_table(parse_class("0.5 15 VA"), FIVE_AMPERE, curve.current_a, angle_known=False)
    assert [cell.verdict for cell in cells[:4]] == ["not tested", "not tested", "not tested", "within"]
    assert cells[0].ratio_error_percent is None


def test_an_exciting_current_as_large_as_the_secondary_is_not_tested() -> None:
    (cell,) = class_table(parse_class("5P20 15 VA"), FIVE_AMPERE, lambda _: 5.0, angle_known=False)
    assert cell.verdict == "not tested"


def test_every_calculated_cell_says_that_it_is_calculated() -> None:
    assert all("calculated, not a substitute" in cell.reason for cell in table("0.5 15 VA"))


@pytest.mark.parametrize("text", ["0.5", "5P20", "PX Ek 200 V", "C400", "0.3"])
def test_a_class_without_output_or_burden_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="on its plate"):
        table(text)


def test_a_class_without_a_table_is_refused() -> None:
    accuracy = replace(parse_class("PX Ek 200 V"), output_va=15.0)
    with pytest.raises(BadInput, match="no table of errors"):
        class_table(accuracy, FIVE_AMPERE, exciting, angle_known=True)
