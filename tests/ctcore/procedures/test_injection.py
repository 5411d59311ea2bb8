"""What each device reads of an injected current."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.judge import scene_of
from ctcore.judgement.injection import null_a, phasors
from ctcore.takes import takes_of

RELAY = {"i_primary_a": 200.0, "i_secondary_a": 2.0, "phase_secondary_deg": 60.0, "i_residual_a": 0.03}


def seen(sheet: Any) -> Any:
    return phasors(scene_of(sheet.job, sheet.place(), takes_of(sheet.readings)))


def at_device(sheet: Any, take: int, device: str, row: str = "two_phases", **values: float) -> None:
    sheet.key("injection", take=take, device_read_text=device)
    sheet.key("injection", row, take=take, **RELAY | values)


def test_a_phasor_has_its_parts_along_and_ahead_of_the_injected_current(worksheet: Any) -> None:
    """2 A at 60 degrees: 1 A along, 1.732 A ahead (arithmetic)."""
    sheet = worksheet()
    at_device(sheet, 1, "relay")

    phase = seen(sheet)[0]

    assert (phase.along_a, phase.ahead_a) == (pytest.approx(1.0), pytest.approx(1.732, abs=5e-4))


def test_without_an_angle_only_the_size_is_known(worksheet: Any) -> None:
    sheet = worksheet()
    at_device(sheet, 1, "relay")

    residual = seen(sheet)[1]

    assert (residual.what, residual.size_a, residual.along_a, residual.ahead_a) == (
        "residual", 0.03, None, None,
    )  # fmt: skip


def test_each_device_shows_its_last_take(worksheet: Any) -> None:
    sheet = worksheet()
    at_device(sheet, 1, "relay")
    at_device(sheet, 2, "meter")
    at_device(sheet, 3, "relay", i_secondary_a=2.1)

    found = [(one.device_text, one.take, one.size_a) for one in seen(sheet) if one.what == "phase"]

    assert found == [("relay", 3, 2.1), ("meter", 2, 2.0)]


def test_each_device_is_judged_in_its_last_take(worksheet: Any) -> None:
    sheet = worksheet()
    at_device(sheet, 1, "relay", i_residual_a=4.0)
    at_device(sheet, 2, "meter")

    found = [f for f in sheet.findings() if f.rule == "injection.residual_two_phases"]

    assert [(one.take, one.verdict) for one in found] == [(1, "outside"), (2, "within")]


def test_the_null_is_a_twentieth_of_the_least_phase_current_between_two_phases(worksheet: Any) -> None:
    """5 % of the phase current: common practice, no source."""
    sheet = worksheet()
    at_device(sheet, 1, "relay", "one_phase", i_secondary_a=0.5)
    at_device(sheet, 2, "meter", i_secondary_a=1.8)

    assert null_a(seen(sheet)) == pytest.approx(0.09)


def test_with_one_phase_alone_there_is_no_null(worksheet: Any) -> None:
    sheet = worksheet()
    at_device(sheet, 1, "relay", "one_phase")

    assert null_a(seen(sheet)) is None
