"""Multi-ratio windings against the printed table."""

from __future__ import annotations

import pytest

from ctcore import taps
from ctcore.standards import multi_ratio

# IEEE C57.13 Table 8 (two public reproductions agree): primary amperes per pair; exact.
TABLE_8 = {
    "600:5": {
        "X2-X3": 50, "X1-X2": 100, "X1-X3": 150, "X4-X5": 200, "X3-X4": 250,
        "X2-X4": 300, "X1-X4": 400, "X3-X5": 450, "X2-X5": 500, "X1-X5": 600,
    },
    "1200:5": {
        "X2-X3": 100, "X1-X2": 200, "X1-X3": 300, "X4-X5": 400, "X3-X4": 500,
        "X2-X4": 600, "X1-X4": 800, "X3-X5": 900, "X2-X5": 1000, "X1-X5": 1200,
    },
    "3000:5": {
        "X3-X4": 300, "X4-X5": 500, "X3-X5": 800, "X1-X2": 1000, "X2-X3": 1200,
        "X2-X4": 1500, "X2-X5": 2000, "X1-X3": 2200, "X1-X4": 2500, "X1-X5": 3000,
    },
    "4000:5": {
        "X1-X2": 500, "X3-X4": 1000, "X2-X3": 1500, "X1-X3": 2000,
        "X2-X4": 2500, "X1-X4": 3000, "X2-X5": 3500, "X1-X5": 4000,
    },
}  # fmt: skip


@pytest.mark.parametrize("designation", TABLE_8)
def test_rated_currents_of_the_pairs_agree_with_table_8(designation: str) -> None:
    """IEEE-MR-600, IEEE-MR-1200, IEEE-MR-3000, IEEE-MR-4000: the table prints whole amperes, so equality."""
    pairs = taps.pairs_from_sections(multi_ratio(designation).section_turns_count)
    by_name = {pair.name: pair.i_primary_rated_a for pair in pairs}
    printed = TABLE_8[designation]
    assert {name: by_name[name] for name in printed} == printed


def test_class_voltage_on_half_the_turns_of_ieee_mr_c_is_halved() -> None:
    """IEEE-MR-C: Voltage capability proportional to turns in use (common practice, no source); exact."""
    assert taps.class_voltage_of_tap_v(400.0, 120, 240) == pytest.approx(200.0, abs=1e-9)


def test_section_voltages_of_ieee_mr_v1_follow_the_turns() -> None:
    """IEEE-MR-V1: Tap-voltage ratio method, utility substation test handbook: voltage proportional to
    turns; exact.
    """
    assert taps.section_voltages_v(120.0, (40, 20, 100, 80)) == pytest.approx((20, 10, 50, 40), abs=1e-9)
