"""Insulation resistance over time."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.job import LimitOverride, References
from ctcore.judge import scene_of
from ctcore.judgement.insulation_time import growth
from ctcore.takes import takes_of

METHOD = {"insulation_pair": "secondary_earth", "v_test_v": 500, "t_winding_degc": 20}


def keyed(worksheet: Any, references: References | None = None, **ohms: object) -> Any:
    """A take at 20 degC, its readings by row in ohm."""
    sheet = worksheet()
    sheet.references = references or References()
    sheet.key("insulation_time", **METHOD)
    for row, ohm in ohms.items():
        sheet.key("insulation_time", row.strip("_"), insulation_resistance_ohm=ohm)
    return sheet


def seen(sheet: Any) -> Any:
    takes = takes_of(sheet.readings)
    return growth(scene_of(sheet.job, sheet.place(), takes), takes["c1", "insulation_time"][0])


def test_the_reading_after_a_minute_is_judged_as_the_insulation_test_judges_its_own(worksheet: Any) -> None:
    low = keyed(worksheet, _60s=0.9e6).found("insulation.secondary")
    high = keyed(worksheet, _60s=2e9).found("insulation.secondary")

    assert (low.verdict, low.procedure, low.row) == ("outside", "insulation_time", "60s")
    assert (high.verdict, high.limit) == ("within", 1e6)


def test_without_a_reading_after_a_minute_nothing_is_judged(worksheet: Any) -> None:
    assert keyed(worksheet, _30s=2e9).found("insulation_time.reading").verdict == "not tested"


def test_without_its_pair_there_is_no_limit(worksheet: Any) -> None:
    sheet = worksheet()
    sheet.key("insulation_time", v_test_v=500, t_winding_degc=20)
    sheet.key("insulation_time", "60s", insulation_resistance_ohm=2e9)

    assert sheet.found("insulation_time.pair").verdict == "not tested"
    assert seen(sheet).limit_ohm is None


def test_both_ratios_are_shown_and_never_judged(worksheet: Any) -> None:
    """Definitions: IEEE 43 (from memory): 10 min over 1 min, and 60 s over 30 s."""
    sheet = keyed(worksheet, _30s=2e9, _60s=3e9, _600s=6e9)

    absorption = sheet.found("insulation_time.absorption_ratio")
    index = sheet.found("insulation_time.polarisation_index_ratio")

    assert (absorption.value, absorption.verdict) == (1.5, "not applicable")
    assert (index.value, index.verdict) == (2.0, "not applicable")


def test_of_a_bound_no_ratio_is_known(worksheet: Any) -> None:
    sheet = keyed(worksheet, _30s=2e9)
    sheet.add("insulation_time", "60s", "insulation_resistance_ohm", "1e10", over_range=True)

    found = sheet.found("insulation_time.absorption_ratio")

    assert (found.value, found.verdict) == (None, "not applicable")


def test_the_growth_holds_every_reading_at_20_degrees_in_the_order_of_time(worksheet: Any) -> None:
    """Halving per 10 K, common practice, no source: at 30 degC the factor is 2."""
    sheet = worksheet()
    sheet.key("insulation_time", **METHOD | {"t_winding_degc": 30})
    sheet.key("insulation_time", "60s", insulation_resistance_ohm=3e9)
    sheet.key("insulation_time", "15s", insulation_resistance_ohm=1e9)

    found = seen(sheet)

    assert found.points == (("15s", 15.0, 2e9), ("60s", 60.0, 6e9))
    assert (found.limit_ohm, found.left_out_count) == (1e6, 0)


def test_a_bound_is_left_out_of_the_growth_and_counted(worksheet: Any) -> None:
    sheet = keyed(worksheet, _15s=1e9)
    sheet.add("insulation_time", "60s", "insulation_resistance_ohm", "1e10", over_range=True)

    found = seen(sheet)

    assert ([row for row, _, _ in found.points], found.left_out_count) == (["15s"], 1)


def test_the_limit_of_the_office_is_the_one_that_is_drawn(worksheet: Any) -> None:
    own = LimitOverride(
        rule="insulation.secondary", core_id="", limit_low=100e6, limit_high=None, reason_text="client",
        person_text="K.",
    )  # fmt: skip

    assert seen(keyed(worksheet, References(limit_overrides=(own,)), _60s=2e9)).limit_ohm == 100e6


@pytest.mark.parametrize(("pair", "limit_mohm"), [("secondary_earth", 100.0), ("primary_earth", 100000.0)])
def test_the_limit_goes_by_the_pair(worksheet: Any, pair: str, limit_mohm: float) -> None:
    """ANSI/NETA MTS-2019, Table 100.1: 600 V 100 MOhm, 34.5 kV and above 100 000 MOhm."""
    sheet = worksheet()
    sheet.references, sheet.um_kv = References(insulation_limit_set="neta_100_1"), 36.0
    sheet.key("insulation_time", **METHOD | {"insulation_pair": pair})

    assert seen(sheet).limit_ohm == limit_mohm * 1e6
