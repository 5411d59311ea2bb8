"""Lead resistance against printed wire tables."""

from __future__ import annotations

import pytest

from ctcore import wire

INCH_M = 0.0254
KFT_KM = 0.3048


def test_loop_of_fifty_metres_of_lead_01_agrees() -> None:
    """LEAD-01: 7.41 ohm/km: IEC 60228 class 2 (two public reproductions); constructed to six digits, 1e-5."""
    per_km = wire.metric_ohm_per_km(2.5)
    assert wire.loop_resistance_ohm(per_km, 50.0) == pytest.approx(0.741, rel=1e-5)
    assert wire.loop_resistance_ohm(per_km, 50.0, t_degc=75.0) == pytest.approx(0.901137, rel=1e-5)


@pytest.mark.parametrize(
    ("case_id", "gauge", "diameter_inch", "ohm_per_kft"),
    [
        ("LEAD-AWG10", 10, 0.10189, 0.9989),
        ("LEAD-AWG12", 12, 0.0808, 1.588),
        ("LEAD-AWG14", 14, 0.06408, 2.525),
    ],
)
def test_gauge_agrees_with_the_printed_table(
    case_id: str, gauge: float, diameter_inch: float, ohm_per_kft: float
) -> None:
    """Hyperphysics wire gauge table; ASTM B258: d to 0.05 %, resistance to 0.1 %, as the table rounds four
    digits.
    """
    assert wire.awg_diameter_m(gauge) / INCH_M == pytest.approx(diameter_inch, rel=0.0005)
    assert wire.awg_ohm_per_km(gauge) * KFT_KM == pytest.approx(ohm_per_kft, rel=0.001)


@pytest.mark.parametrize(
    ("area_mm2", "ohm_per_km"), [(1.5, 12.1), (2.5, 7.41), (4.0, 4.61), (6.0, 3.08), (10.0, 1.83)]
)
def test_metric_sizes_agree_with_iec_60228(area_mm2: float, ohm_per_km: float) -> None:
    """IEC 60228, class 2, plain copper, maxima at 20 degC (seen); exact."""
    assert wire.metric_ohm_per_km(area_mm2) == ohm_per_km
