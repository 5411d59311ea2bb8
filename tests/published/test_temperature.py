"""Temperature correction against the published constants."""

from __future__ import annotations

import pytest

from ctcore import temperature


@pytest.mark.parametrize(
    ("case_id", "conductor", "r_75degc_ohm"),
    [
        ("TEMP-01", "copper", 0.608055),
        ("TEMP-02", "copper_235", 0.6078431),
        ("TEMP-03", "aluminium", 0.6122449),
        ("TEMP-04", "aluminium_228", 0.6108871),
    ],
)
def test_half_an_ohm_at_20_degc_agrees(case_id: str, conductor: str, r_75degc_ohm: float) -> None:
    """Constants: IEC 60228 (234.5, 228), IEC 60076-1 (235, from memory), UL text (225); six digits, 1e-6."""
    assert temperature.resistance_ohm(0.5, 20.0, 75.0, conductor) == pytest.approx(r_75degc_ohm, rel=1e-6)
