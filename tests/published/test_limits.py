"""Class limits and standard burdens against the printed tables."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from ctcore import standards
from ctcore.standards import ieee_c57_13_2016


@dataclass(frozen=True, slots=True)
class LimitCase:
    """A reading and whether it is within the limits at its current."""

    case_id: str
    designation: str
    percent_current: float
    ratio_error_percent: float
    phase_displacement_arcmin: float
    ratio_limit_percent: float
    phase_limit_arcmin: float
    is_within: bool


# IEC 61869-2 Tables 201-203 (two public reproductions); the limits are exact.
LIMIT_CASES = (
    LimitCase("IEC-LIM-01", "0.5", 5, -1.2, 60, 1.5, 90, True),
    LimitCase("IEC-LIM-02", "0.5S", 5, -1.2, 60, 0.75, 45, False),
    LimitCase("IEC-LIM-05", "0.1", 20, 0.1, 8.5, 0.2, 8, False),
)


@pytest.mark.parametrize("case", LIMIT_CASES, ids=lambda case: case.case_id)
def test_limits_and_reading_agree_with_the_tables(case: LimitCase) -> None:
    limits = standards.error_limits_at(case.designation, case.percent_current)
    is_within = (
        abs(case.ratio_error_percent) <= limits.ratio_error_percent
        and abs(case.phase_displacement_arcmin) <= limits.phase_displacement_arcmin
    )
    assert limits.ratio_error_percent == case.ratio_limit_percent
    assert limits.phase_displacement_arcmin == case.phase_limit_arcmin
    assert is_within is case.is_within


@dataclass(frozen=True, slots=True)
class BurdenCase:
    """A standard burden at 5 A, 60 Hz, as printed: examples IEEE-B-0.1, -0.5, -0.9, -1.8, -2, -4 and -8."""

    name: str
    r_ohm: float
    l_mh: float
    output_va: float


# IEEE C57.13 Table 9 (from memory): R exact; L to 0.4 %, as the table rounds it to two or three digits.
BURDEN_CASES = (
    BurdenCase("B-0.1", 0.09, 0.116, 2.5),
    BurdenCase("B-0.5", 0.45, 0.58, 12.5),
    BurdenCase("B-0.9", 0.81, 1.04, 22.5),
    BurdenCase("B-1.8", 1.62, 2.08, 45.0),
    BurdenCase("B-2", 1.0, 4.6, 50.0),
    BurdenCase("B-4", 2.0, 9.2, 100.0),
    BurdenCase("B-8", 4.0, 18.4, 200.0),
)


@pytest.mark.parametrize("case", BURDEN_CASES, ids=lambda case: f"IEEE-{case.name}")
def test_standard_burden_agrees_with_table_9(case: BurdenCase) -> None:
    burden = standards.standard_burden(case.name)
    assert burden.z_ohm.real == pytest.approx(case.r_ohm, abs=1e-9)
    assert burden.l_h * 1000.0 == pytest.approx(case.l_mh, rel=0.004)
    assert burden.output_va == pytest.approx(case.output_va, abs=1e-9)


@pytest.mark.parametrize("row", ieee_c57_13_2016.BURDENS, ids=lambda row: row.name)
def test_tabulated_resistance_and_inductance_agree_with_impedance_and_power_factor(row: object) -> None:
    """The printed R and L round to three digits: 0.4 %."""
    burden = standards.standard_burden(row.name)
    assert burden.z_ohm.real == pytest.approx(row.r_ohm, abs=1e-9)
    assert burden.l_h == pytest.approx(row.l_h, rel=0.004, abs=1e-12)


@pytest.mark.parametrize(
    ("case_id", "class_voltage_v", "z_ohm", "output_va"),
    [("IEEE-C-01", 400.0, 4.0, 100.0), ("IEEE-C-02", 800.0, 8.0, 200.0)],
)
def test_burden_of_a_class_voltage_agrees(
    case_id: str, class_voltage_v: float, z_ohm: float, output_va: float
) -> None:
    """IEEE C57.13 relaying class and standard burden (public reproduction); exact to rounding."""
    burden = standards.relay_burden(class_voltage_v)
    assert abs(burden.z_ohm) == pytest.approx(z_ohm, abs=1e-9)
    assert burden.output_va == pytest.approx(output_va, abs=1e-9)


def test_knee_of_class_k_of_ieee_k_01_is_seventy_percent_of_its_rating() -> None:
    """IEEE-K-01: IEEE C57.13 class K (from memory): 400 V asks for 280 V, a knee of 290 V passes; exact."""
    knee_least_v = 400.0 * standards.row("K").knee_percent / 100.0
    assert knee_least_v == pytest.approx(280.0, abs=1e-9)
    assert knee_least_v <= 290.0
