"""Turns ratio, correction factors and comparison with a standard against worked examples."""

from __future__ import annotations

import pytest

from ctcore import ratio, standards


def test_ratio_by_voltage_of_ratio_01_agrees() -> None:
    """RATIO-01: IEEE C57.13.1 voltage method (from memory); constructed: ratio to 1e-6, turns error to its
    printed
    0.24 %.
    """
    measured = ratio.turns_ratio_from_voltages(120.0, 0.5012)
    assert measured == pytest.approx(239.42538, rel=1e-6)
    assert ratio.turns_ratio_error_percent(measured, 240.0) == pytest.approx(0.24, abs=0.0001)


def test_one_missing_turn_of_600_of_iec_px_03_is_within_the_limit_of_px() -> None:
    """IEC-PX-03: IEC 61869-2 3.4.218-219 (text seen), limit 0.25 % (secondary source); 1e-6, six printed
    decimals.
    """
    error_percent = ratio.turns_ratio_error_percent(599, 600)
    assert error_percent == pytest.approx(0.166945, abs=1e-6)
    assert abs(error_percent) <= standards.row("PX").turns_ratio_error_percent


def test_transformer_correction_factor_of_ieee_tcf_01_agrees() -> None:
    """IEEE-TCF-01: IEEE C57.13, TCF = RCF - beta/2600 (from memory); 2e-6 as six decimals are given."""
    assert ratio.tcf(1.002, 10.0) == pytest.approx(0.998154, abs=2e-6)
    assert ratio.tcf_exact(1.002, 10.0, 0.6) == pytest.approx(0.998133, abs=2e-6)


def test_class_03_reading_of_ieee_tcf_03_fails_by_its_phase_alone() -> None:
    """IEEE-TCF-03: IEEE C57.13 Table 6 (public reproduction); 2600 from memory; 1e-6 as six decimals are
    given.
    """
    limits = standards.correction_limits_at("0.3", 100)
    factor = ratio.tcf(1.001, 12.0)
    assert factor == pytest.approx(0.996385, abs=1e-6)
    assert limits.factor_low <= 1.001 <= limits.factor_high
    assert factor < limits.factor_low


def test_comparison_with_a_standard_of_ref_01_adds_its_errors() -> None:
    """REF-01: First-order addition (common practice, no source); exact to rounding of decimals, 1e-9."""
    assert ratio.compared_with_standard(-0.54, -0.13) == pytest.approx(-0.67, abs=1e-9)
    assert ratio.compared_with_standard(15.0, 3.5) == pytest.approx(18.5, abs=1e-9)
