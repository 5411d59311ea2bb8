"""Figures, limits and dates in the words of the sheet."""

from __future__ import annotations

import dataclasses

import pytest

from app.report.wording import (
    day_text,
    limit_text,
    moment,
    of_reading,
    of_value,
    reason_text,
    span,
    standing_text,
    symbol,
    uncertainty,
)
from ctcore.figures import GROUP_GAP, UNIT_GAP
from ctcore.findings import Finding
from ctcore.judgement.limit import shown
from ctcore.quantities import quantity
from tests.app.report.making import reading

FINDING = Finding("c", "i_excitation_at_ek_a", 0.02, 0.03, 0.01, "within", "plate", "rule", limit_high=0.03)


def test_a_reading_keeps_the_digits_that_were_typed() -> None:
    entry = reading("c", "excitation", "1", "i_excitation_a", "0.03090")
    assert of_reading(entry, quantity("i_excitation_a")) == "30.90"


def test_a_reading_over_range_keeps_its_sign() -> None:
    entry = reading("c", "insulation", "x", "insulation_resistance_ohm", "2E+10", over_range=True)
    shown_text = of_reading(entry, quantity("insulation_resistance_ohm"))
    assert shown_text.replace(UNIT_GAP, " ").replace(GROUP_GAP, " ") == "> 20 000"


def test_a_reading_that_is_no_number_is_shown_as_typed() -> None:
    entry = reading("c", "excitation", "1", "i_excitation_a", "x", as_typed_text="3o.9", value_text=None)
    assert of_reading(entry, quantity("i_excitation_a")) == "“3o.9” (no number)"


def test_a_choice_is_told_in_words() -> None:
    entry = reading("c", "excitation", "method", "voltage_response", "mean")
    assert of_reading(entry, quantity("voltage_response")) == "average, scaled to r.m.s."


@pytest.mark.parametrize(
    ("quantity_id", "value"), [("r_winding_75degc_ohm", 2.63157), ("ratio_error_percent", 0.0512)]
)
def test_a_value_has_the_digits_of_its_finding_in_words(quantity_id: str, value: float) -> None:
    row = quantity(quantity_id)
    assert f"{of_value(value, row)}{UNIT_GAP}{symbol(row)}" == shown(quantity_id, value)


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [
        (None, 0.03, "30 at most"),
        (0.03, None, "30 at least"),
        (-0.03, 0.03, "within ±30"),
        (0.01, 0.03, "10 to 30"),
    ],
)
def test_a_limit_is_told_in_words(low: float | None, high: float | None, told: str) -> None:
    finding = dataclasses.replace(FINDING, limit_low=low, limit_high=high)
    assert limit_text(finding, quantity("i_excitation_at_ek_a")) == told


def test_a_limit_is_never_rounded() -> None:
    finding = dataclasses.replace(FINDING, limit_high=0.0312345)
    assert limit_text(finding, quantity("i_excitation_at_ek_a")) == "31.2345 at most"


def test_a_limit_from_memory_asks_for_a_check() -> None:
    finding = dataclasses.replace(FINDING, limit_standing="from memory", source="Table 1")
    assert standing_text(finding) == "Table 1 (from memory: check against the standard)"


def test_a_reason_leaves_out_the_figures_that_stand_beside_it() -> None:
    text = "S1-S2: Ratio error −0.06 % ± 0.01 % (k = 2), limit ±0.75 %: 0.70 % in hand. Burden not recorded."
    assert reason_text(dataclasses.replace(FINDING, text=text)) == "Burden not recorded."


def test_a_reason_without_figures_is_told_whole() -> None:
    assert reason_text(dataclasses.replace(FINDING, text="The plate has no such tap.")) == (
        "The plate has no such tap."
    )


def test_an_uncertainty_has_two_digits() -> None:
    assert uncertainty(0.021234, quantity("r_winding_ohm")) == "0.021"


def test_a_moment_carries_the_offset_of_its_site() -> None:
    assert moment("2026-11-24T23:52:00Z", 60) == "25 Nov 2026 00:52 +01:00"


@pytest.mark.parametrize(
    ("text", "told"), [("2026-11-22", "22 Nov 2026"), (None, "not stated"), ("soon", "soon")]
)
def test_a_date_that_is_none_is_shown_as_it_stands(text: str | None, told: str) -> None:
    assert day_text(text) == told


def test_readings_of_one_day_name_it_once() -> None:
    first = reading("c", "excitation", "1", "v_excitation_v", "1")
    last = dataclasses.replace(first, at_utc="2026-10-13T08:30:00Z")
    assert span((last, first)) == "13 Oct 2026 09:00 to 10:30"
