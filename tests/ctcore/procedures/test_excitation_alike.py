"""A curve against the other taps, the sister phases and the take before."""

from __future__ import annotations

from typing import Any

import pytest

from tests.ctcore.procedures.keyed_beside import AS_ASKED, HIGH, LOW, amperes, before_and_after, tapped, three

# Taps, sisters, before and after


@pytest.mark.parametrize(("factor", "verdict"), [(1.0, "within"), (0.9, "refer")])
def test_curves_of_two_taps_fall_on_one_line(
    worksheet: Any, make_tap: Any, factor: float, verdict: str
) -> None:
    """Half the turns: half the volts at twice the amperes (arithmetic)."""
    found = tapped(worksheet, make_tap, factor).found("excitation.taps")

    assert (found.verdict, found.take) == (verdict, 2)
    assert found.value == pytest.approx(100.0 * (factor - 1.0), abs=0.01)


def test_taps_read_by_unlike_meters_are_not_compared(worksheet: Any, make_tap: Any) -> None:
    found = tapped(worksheet, make_tap, 1.0, voltage_response="true_rms").found("excitation.taps")

    assert found.verdict == "refer"
    assert "unlike" in found.text


def test_a_tap_without_shared_ampere_turns_is_not_compared(worksheet: Any, make_tap: Any) -> None:
    sheet = tapped(worksheet, make_tap, 1.0)
    sheet.key("excitation", take=3, **AS_ASKED)
    sheet.points([1.0, 2.0, 3.0], [1e-6, 2e-6, 3e-6], take=3)

    assert "share no ampere-turns" in sheet.found("excitation.taps").text


def test_a_tap_whose_current_falls_is_not_compared(worksheet: Any, make_tap: Any) -> None:
    sheet = tapped(worksheet, make_tap, 1.0)
    sheet.key("excitation", take=3, **AS_ASKED)
    sheet.points([20.0, 40.0, 60.0], [0.02, 0.01, 0.03], take=3)

    assert sheet.found("excitation.taps").verdict == "refer"


def test_a_curve_is_compared_with_the_middle_of_the_sister_phases(worksheet: Any) -> None:
    sheet = three(worksheet, (1.0, 1.0, 0.9))

    verdicts = [sheet.found("excitation.sisters", core=core).verdict for core in range(3)]

    assert verdicts == ["within", "within", "refer"]
    assert sheet.found("excitation.sisters", core=2).value == pytest.approx(-10.0, abs=0.3)


def test_with_one_sister_the_other_is_compared_with(worksheet: Any) -> None:
    sheet = three(worksheet, (1.0, 0.98))

    assert sheet.found("excitation.sisters").value == pytest.approx(2.0, abs=0.4)


def test_sisters_read_by_unlike_meters_are_not_compared(worksheet: Any) -> None:
    found = three(worksheet, (1.0, 1.0), "mean", "true_rms").found("excitation.sisters")

    assert found.verdict == "refer"
    assert "voltage meters are unlike" in found.text


def test_sisters_that_do_not_saturate_are_not_compared(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA", phases=2)
    for core in range(2):
        sheet.key("excitation", core=core, **AS_ASKED)
        sheet.points(LOW, LOW**0.8 * 1e-4, core=core)

    assert "no saturated part" in sheet.found("excitation.sisters").text


def test_sisters_without_shared_volts_are_not_compared(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA", phases=2)
    for core, volts in enumerate((LOW, HIGH)):
        sheet.key("excitation", core=core, **AS_ASKED)
        sheet.points(volts, amperes(volts), core=core)

    assert sheet.found("excitation.sisters").verdict == "refer"


@pytest.mark.parametrize(("kept", "words"), [(0.5, "was magnetised then"), (0.0, "moved nothing")])
def test_a_curve_before_and_after_demagnetising_tells_remanence(
    worksheet: Any, kept: float, words: str
) -> None:
    found = before_and_after(worksheet, kept).found("excitation.magnetised")

    assert (found.verdict, found.take) == ("not applicable", 2)
    assert words in found.text


def test_before_and_after_by_unlike_meters_are_not_compared(worksheet: Any) -> None:
    found = before_and_after(worksheet, 0.5, current_response="mean").found("excitation.magnetised")

    assert found.verdict == "refer"


def test_before_and_after_that_do_not_tell_are_referred(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    for take, answer in ((1, "no"), (2, "yes_no_dc_since")):
        sheet.key("excitation", take=take, **{**AS_ASKED, "demagnetised": answer})
        sheet.points(LOW, LOW * 1e-4, take=take)

    assert "not decided" in sheet.found("excitation.magnetised").text


def test_an_earlier_take_that_is_no_curve_is_not_compared(worksheet: Any) -> None:
    sheet = before_and_after(worksheet, 0.5)
    sheet.readings = [
        entry
        for entry in sheet.readings
        if not (entry.take == 1 and entry.row.isdigit() and int(entry.row) > 2)
    ]

    assert "no curve" in sheet.found("excitation.magnetised").text
