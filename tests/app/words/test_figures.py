"""Figures with the decimal mark that is spoken: only the mark changes; what is shown can be typed again."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import pytest

from app.words import figures, speaking
from ctcore import entry
from ctcore import figures as plain

ROOT: Final = Path(__file__).parents[3]
VALUES: Final = [0.0309, -1.5, 1234.5, 20_000_000.0, 0.0, 12.0]


@pytest.mark.parametrize("value", VALUES)
def test_a_figure_with_a_comma_has_the_digits_of_the_one_with_a_point(value: float) -> None:
    with speaking("de", comma=True):
        shown = figures.text(value, "V", significant=4)

    assert shown.replace(",", ".") == plain.text(value, "V", significant=4)


@pytest.mark.parametrize("value", VALUES)
def test_what_is_shown_with_a_comma_is_read_as_the_same_value(value: float) -> None:
    with speaking("de", comma=True):
        shown = figures.with_unit(value, "V", significant=6)

    assert entry.parse(shown, "V", decimal_comma=True).value == value


@pytest.mark.parametrize("value", VALUES)
def test_no_comma_stands_between_thousands(value: float) -> None:
    with speaking("en", comma=True):
        shown = figures.with_unit(1000.0 * value, "V")

    assert len(re.findall(r"[.,]", shown)) <= 1


@pytest.mark.parametrize(
    "kept",
    [
        "Class 0.5S",
        "IEC 61869-2:2012, 5.6.201",
        "7.2.6.203",
        "IEEE C57.13.6-2005",
        "0.2",
        "Version 1.4 of 2026.11.30",
    ],
)
def test_names_of_classes_and_clauses_keep_their_points(kept: str) -> None:
    with speaking("de", comma=True):
        assert figures.marked_with_units(kept) == kept


def test_figures_within_words_get_the_comma_where_their_unit_stands_behind_them() -> None:
    with speaking("de", comma=True):
        told = figures.marked_with_units("+100.08\u00a0%, ±2.1′ bei 1\u202f234.5\u00a0V und 2.5 VA, 0.5")

    assert told == "+100,08\u00a0%, ±2,1′ bei 1\u202f234,5\u00a0V und 2,5 VA, 0.5"


def test_what_screen_and_sheet_show_goes_through_the_figures_that_know_the_mark() -> None:
    shown = [path for folder in ("app/ui", "app/report") for path in (ROOT / folder).rglob("*.py")]
    past_it = re.compile(r"^from ctcore(?: import .*\bfigures|\.judgement\.limit import .*\bshown)\b", re.M)

    assert [str(path) for path in shown if past_it.search(path.read_text("utf-8"))] == []
