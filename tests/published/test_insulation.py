"""Insulation resistance at 20 degC and its limits against published figures."""

from __future__ import annotations

import pytest

from ctcore import insulation


def test_oil_table_of_ir_01_carries_1200_mohm_to_3360() -> None:
    """IR-01: Oil-filled correction table to 20 degC, published technical note: factor 2.80 at 35 degC;
    exact.
    """
    factor = insulation.factor_to_20degc(35.0, "oil")
    assert insulation.judge(1200e6, factor.factor, 1e6).corrected_ohm == pytest.approx(3360e6, rel=1e-12)
    assert factor.tabulated


def test_halving_rule_of_ir_02_lies_one_percent_from_the_oil_table() -> None:
    """IR-02: Halving per 10 K (common practice, no source): 3394.1125 MOhm, eight digits, 1e-6."""
    factor = insulation.factor_to_20degc(35.0, "halving_per_10k")
    assert 1200.0 * factor.factor == pytest.approx(3394.1125, rel=1e-6)


def test_guideline_of_ir_05_asks_for_37_mohm_at_36_kv() -> None:
    """IR-05: (kV + 1) MOhm guideline; exact."""
    assert insulation.limit("kv_plus_1_mohm", nominal_v=36000.0).limit_ohm == pytest.approx(37e6, rel=1e-12)


@pytest.mark.parametrize(
    ("nominal_v", "limit_mohm"),
    [(250, 25), (600, 100), (2500, 500), (5000, 1500), (15000, 5000), (25000, 10000), (46000, 100000)],
)
def test_limits_by_nominal_voltage_agree_with_table_100_1(nominal_v: float, limit_mohm: float) -> None:
    """ANSI/NETA MTS-2019, Table 100.1 (seen); exact."""
    assert insulation.limit("neta_100_1", nominal_v=nominal_v).limit_ohm == limit_mohm * 1e6
