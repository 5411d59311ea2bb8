"""Decision rules against the published rule."""

from __future__ import annotations

import pytest

from ctcore import decision


def test_reading_inside_the_guard_band_of_dr_02_passes_conditionally() -> None:
    """DR-02: ILAC-G8 4.2.3, non-binary rule; probability to 1e-5, five printed decimals."""
    result = decision.decide(0.47, None, 0.5, 0.06, "four_way")
    assert result.acceptance_high == pytest.approx(0.44, abs=1e-5)
    assert result.condition == "conditional pass"
    assert result.verdict == "refer"
    assert result.probability_of_conformance == pytest.approx(0.841345, abs=1e-5)
