"""Limiting e.m.f.s and limit factors against worked examples."""

from __future__ import annotations

import pytest

from ctcore import burden, limiting


def test_rated_factor_needed_of_alf_01_agrees() -> None:
    """ALF-01: IEC 60044-1 style example in protection-relay application literature: 9.0, so 10 is chosen;
    exact.
    """
    needed = limiting.rated_factor_needed(20, 3.0, 5.0, 0.6)
    assert needed == pytest.approx(9.0, abs=1e-9)
    assert limiting.standard_factor_at_least(needed) == 10


def test_operating_factor_of_alf_02_agrees() -> None:
    """ALF-02: n' = n (PN + Pi)/(P' + Pi), protection-relay application literature; constructed to eight
    digits, 1e-7.
    """
    rated = burden.from_rating(15.0, 1.0, 1.0)
    connected = burden.from_rating(2.5, 1.0, 1.0)
    factor = limiting.operating_factor_from_plate(20, 3.0, rated, connected)
    assert factor == pytest.approx(65.454545, rel=1e-7)


def test_factor_of_an_oversized_transformer_of_alf_04_agrees() -> None:
    """ALF-04: Protection-relay application literature, worked example: 30 at 1500 A is 45 at 1000 A;
    exact.
    """
    assert limiting.factor_at_current(30, 1500.0, 1000.0) == pytest.approx(45.0, abs=1e-9)


def test_security_factor_at_a_light_burden_of_fs_01_agrees() -> None:
    """FS-01: Note to IEC 61869-2 3.4.205, same scaling as ALF; exact."""
    rated = burden.from_rating(15.0, 5.0, 1.0)
    connected = burden.from_rating(2.5, 5.0, 1.0)
    assert limiting.operating_factor_from_plate(5, 0.3, rated, connected) == pytest.approx(11.25, abs=1e-9)


@pytest.mark.parametrize(
    ("case_id", "factor", "i_sr_a", "output_va", "r_ct_ohm", "z_ohm", "emf_v", "ie_limit_a", "limit_percent"),
    [
        ("IEC-EALF-01", 20, 1.0, 15.0, 5.0, 12 + 9j, 384.7077, 1.0, 5.0),
        ("IEC-EALF-02", 10, 5.0, 30.0, 0.3, 0.96 + 0.72j, 72.56032, 5.0, 10.0),
    ],
)
def test_limiting_emf_agrees(
    case_id: str, factor: float, i_sr_a: float, output_va: float, r_ct_ohm: float, z_ohm: complex,
    emf_v: float, ie_limit_a: float, limit_percent: float,
) -> None:  # fmt: skip
    """IEC 61869-2 3.4.209 (text seen) and 7.2.6.203 b); constructed to seven digits, 1e-5."""
    rated = burden.from_rating(output_va, i_sr_a, 0.8)
    assert rated == pytest.approx(z_ohm, rel=1e-5)
    assert limiting.emf_v(factor, i_sr_a, r_ct_ohm, rated) == pytest.approx(emf_v, rel=1e-5)
    limit_a = limiting.exciting_current_limit_a(factor, i_sr_a, limit_percent)
    assert limit_a == pytest.approx(ie_limit_a, rel=1e-5)


def test_arithmetic_sum_of_iec_ealf_01_overstates_the_emf() -> None:
    """IEC-EALF-01, scalar sum 400 V; constructed, 1e-5."""
    assert limiting.emf_arithmetic_v(20, 1.0, 5.0, 12 + 9j) == pytest.approx(400.0, rel=1e-5)


def test_rated_knee_of_iec_px_01_agrees() -> None:
    """IEC-PX-01: Ek = Kx (Rct + Rb) Isr, IEC 61869-2 3.4.220 and 5.6.202.4 (formula from memory); exact."""
    assert limiting.knee_from_dimensioning_v(30, 1.0, 4.0, 6.0) == pytest.approx(300.0, abs=1e-9)


def test_knee_from_the_limit_factor_of_sat_07_agrees() -> None:
    """SAT-07: Vk = ALF (Isr Rct + VA/Isr), protection engineering textbook form; exact."""
    r_burden_ohm = burden.from_rating(15.0, 1.0, 1.0).real
    assert limiting.knee_from_dimensioning_v(20, 1.0, 5.0, r_burden_ohm) == pytest.approx(400.0, abs=1e-9)


def test_transient_emf_and_peak_current_of_iec_tp_01_agree() -> None:
    """IEC-TP-01: IEC 61869-2 3.4.237 and Annex 2B (from memory); constructed, 1e-6."""
    assert limiting.emf_transient_v(20, 12, 1.0, 5.0, 10.0) == pytest.approx(3600.0, rel=1e-6)
    assert limiting.peak_exciting_current_a(20, 1.0, 10.0) == pytest.approx(2.828427, rel=1e-6)


def test_secondary_excitation_voltage_of_sat_06_agrees() -> None:
    """SAT-06: IEEE C37.110 (from memory), Vs = Is (Rs + Zb); constructed, 1e-4."""
    assert limiting.emf_v(20, 5.0, 0.3, 1.0 + 1.732051j) == pytest.approx(216.563, rel=1e-4)
