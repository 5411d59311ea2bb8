"""Ratio against a reference transformer."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from ctcore.job import Instrument
from tests.ctcore.procedures.keyed_day import compared, verdict

# Ratio against a reference transformer


def test_a_ratio_against_a_reference_is_that_of_the_true_primary_current(
    worksheet: Callable[..., Any],
) -> None:
    """Reference 600/1 with +0.1 %: 1 A there is 599.4 A primary; 0.999 A read is then 0 %; arithmetic."""
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.key(
        "ratio",
        ratio_method="comparison",
        k_reference_ratio=600,
        reference_error_percent=0.1,
        burden_in_circuit_va=10,
        burden_power_factor_ratio=0.8,
    )
    sheet.key("ratio", "S1-S2", i_reference_a=1.0, i_secondary_a=1.0 / 1.001, phase_displacement_arcmin=5)

    assert sheet.derived("ratio", "ratio_error_percent", "S1-S2").value == pytest.approx(0.0, abs=1e-9)
    assert verdict(sheet, "ratio.error") == "within"


def test_the_displacement_of_the_reference_is_added_to_the_one_read(worksheet: Callable[..., Any]) -> None:
    """Class 0.5 allows 30 minutes at rated current; IEC 61869-2:2012, Table 201."""
    found = compared(worksheet, "0.5 FS5 10 VA", 28.0, reference_phase_arcmin=3.0).found("ratio.phase")

    assert (found.value, found.verdict) == (pytest.approx(31.0), "outside")
    assert "reference transformer" in found.text


def test_a_displacement_against_a_reference_of_unknown_displacement_is_referred(
    worksheet: Callable[..., Any],
) -> None:
    found = compared(worksheet, "0.5 FS5 10 VA", 28.0).found("ratio.phase")

    assert found.verdict == "refer"
    assert "phase displacement of the reference transformer is not stated" in found.text


def test_a_correction_factor_against_a_reference_of_unknown_displacement_is_referred(
    worksheet: Callable[..., Any],
) -> None:
    assert compared(worksheet, "0.3 B-0.5", 2.0).found("ratio.tcf").verdict == "refer"
    assert compared(worksheet, "0.3 B-0.5", 2.0, reference_phase_arcmin=1.0).found("ratio.tcf").value == (
        pytest.approx(1.0 - 3.0 / 2600.0)
    )


def test_the_certificate_of_a_reference_gives_the_uncertainty(worksheet: Callable[..., Any]) -> None:
    """U = sqrt(U_meters^2 + U_certificate^2), k = 2 each; JCGM 100:2008, 5.1.2."""
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Meter 1", spec_reading_percent=0.05),)
    sheet.key("ratio", ratio_method="comparison", k_reference_ratio=600, reference_error_percent=0.0)
    sheet.key("ratio", u_reference_error_percent=0.04, u_reference_phase_arcmin=2.0)
    for name in ("i_reference_a", "i_secondary_a"):
        sheet.add("ratio", "S1-S2", name, "1.000000", instrument_id="m1")
    u_meters = 2.0 * math.sqrt(2.0) * 0.05 / math.sqrt(3.0)

    found = sheet.derived("ratio", "ratio_error_percent", "S1-S2")
    assert found.u_expanded == pytest.approx(math.hypot(u_meters, 0.04), rel=1e-6)


def test_a_certificate_without_any_uncertainty_states_none(worksheet: Callable[..., Any]) -> None:
    sheet = compared(worksheet, "0.5 FS5 10 VA", 5.0, u_reference_error_percent=0.0)

    assert sheet.derived("ratio", "ratio_error_percent", "S1-S2").u_expanded is None


def test_a_comparison_without_its_reference_is_not_tested(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.key("ratio", ratio_method="comparison")
    sheet.key("ratio", "S1-S2", i_reference_a=1.0, i_secondary_a=1.0)

    assert "Rated ratio of the reference transformer is not recorded" in sheet.found("ratio.reading").text
