"""Visual inspection, links back, kick and demagnetising, judged."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from ctcore.judge import scene_of
from ctcore.judgement.demagnetising import plan_words
from ctcore.takes import takes_of
from tests.ctcore.procedures.keyed_day import curve, demagnetised, seen, verdict

# Visual inspection and links


def test_what_was_seen_in_order_is_within_and_what_was_not_looked_at_is_not_tested(
    worksheet: Callable[..., Any],
) -> None:
    sheet = worksheet()
    seen(sheet)

    assert verdict(sheet, "visual.line", "plate") == "within"
    assert verdict(sheet, "visual.line", "unused") == "not tested"


@pytest.mark.parametrize(("answer", "expected"), [("no", "outside"), ("not_applicable", "not applicable")])
def test_a_line_says_its_answer_and_what_was_seen(
    worksheet: Callable[..., Any], answer: str, expected: str
) -> None:
    sheet = worksheet()
    seen(sheet)
    sheet.key("visual", "unused", check_answer=answer, check_text="bridge on 2S2-2S3")

    assert verdict(sheet, "visual.line", "unused") == expected
    assert "bridge on 2S2-2S3" in sheet.found("visual.line", "unused").text


@pytest.mark.parametrize(
    ("drawn", "found", "expected"), [(1, 1, "within"), (1, 2, "outside"), (1, 0, "outside"), (2, 1, "refer")]
)
def test_there_is_one_secondary_earth_drawn_and_found(
    worksheet: Callable[..., Any], drawn: int, found: int, expected: str
) -> None:
    sheet = worksheet()
    seen(sheet, earths_drawn_count=drawn, earths_found_count=found)

    assert verdict(sheet, "visual.earths") == expected


def test_earths_that_were_not_counted_are_not_tested(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("visual", "plate", check_answer="yes")

    assert verdict(sheet, "visual.earths") == "not tested"
    assert verdict(sheet, "visual.links") == "not tested"


@pytest.mark.parametrize(("lifted", "expected"), [(4, "within"), (5, "refer"), (3, "refer")])
def test_as_many_links_are_lifted_as_were_found_closed(
    worksheet: Callable[..., Any], lifted: int, expected: str
) -> None:
    sheet = worksheet()
    seen(sheet, links_lifted_count=lifted)

    assert verdict(sheet, "visual.links") == expected


@pytest.mark.parametrize(("closed", "expected"), [(4, "within"), (3, "outside"), (5, "outside")])
def test_links_closed_again_are_held_against_links_found(
    worksheet: Callable[..., Any], closed: int, expected: str
) -> None:
    sheet = worksheet()
    seen(sheet)
    sheet.key("links_back", links_closed_count=closed, earths_left_count=1)

    assert verdict(sheet, "links_back.links") == expected
    assert verdict(sheet, "links_back.earths") == "within"


def test_without_a_first_count_links_are_referred(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("links_back", links_closed_count=4)

    assert verdict(sheet, "links_back.links") == "refer"


@pytest.mark.parametrize(("ohm", "expected"), [(6.3, "within"), (7.4, "refer"), (0.0, "outside")])
def test_the_loop_is_held_against_the_sister_phases(
    worksheet: Callable[..., Any], ohm: float, expected: str
) -> None:
    sheet = worksheet(phases=3)
    for core, its in enumerate((ohm, 6.2, 6.25)):
        sheet.key("links_back", "loop", core=core, r_proof_ohm=its)

    assert verdict(sheet, "links_back.loop") == expected


def test_an_open_loop_is_outside_and_a_lone_one_referred(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.add("links_back", "loop", "r_proof_ohm", 2000.0, over_range=True)
    lone = worksheet()
    lone.key("links_back", "loop", r_proof_ohm=6.2)

    assert verdict(sheet, "links_back.loop") == "outside"
    assert verdict(lone, "links_back.loop") == "refer"


@pytest.mark.parametrize(("ohm", "expected"), [(0.02, "within"), (1.4, "refer")])
def test_the_joint_of_the_earth_conducts(worksheet: Callable[..., Any], ohm: float, expected: str) -> None:
    sheet = worksheet()
    sheet.key("links_back", "earth_joint", r_proof_ohm=ohm)

    assert verdict(sheet, "links_back.earth_joint") == expected


@pytest.mark.parametrize(("ohm", "expected"), [(5e8, "within"), (8e4, "outside")])
def test_the_circuit_holds_to_earth_with_its_earth_lifted(
    worksheet: Callable[..., Any], ohm: float, expected: str
) -> None:
    sheet = worksheet()
    sheet.key("links_back", "earth_lifted", r_proof_ohm=ohm)

    assert verdict(sheet, "links_back.earth_lifted") == expected


def test_a_joint_over_range_is_open_and_a_circuit_over_range_holds(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.add("links_back", "earth_joint", "r_proof_ohm", 100.0, over_range=True)
    sheet.add("links_back", "earth_lifted", "r_proof_ohm", 1e9, over_range=True)

    assert verdict(sheet, "links_back.earth_joint") == "outside"
    assert verdict(sheet, "links_back.earth_lifted") == "within"


# Kick


@pytest.mark.parametrize(
    ("make", "on_break", "expected"),
    [("up", "down", "within"), ("down", "up", "outside"), ("up", "up", "refer"), ("none", "none", "refer")],
)
def test_a_kick_tells_polarity_by_make_and_break(
    worksheet: Callable[..., Any], make: str, on_break: str, expected: str
) -> None:
    """Up on make and down on break agrees: IEEE C57.13.1 field practice (seen)."""
    sheet = worksheet()
    sheet.key("kick", "S1-S2", kick_make=make, kick_break=on_break)

    assert verdict(sheet, "kick.polarity") == expected


def test_a_kick_without_break_is_not_tested(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("kick", "S1-S2", kick_make="up")

    assert verdict(sheet, "kick.polarity") == "not tested"


# Demagnetising


@pytest.mark.parametrize(("volts", "expected"), [(500.0, "within"), (300.0, "refer")])
def test_a_run_down_starts_past_the_knee(worksheet: Callable[..., Any], volts: float, expected: str) -> None:
    sheet = worksheet()
    demagnetised(sheet, v_start_v=volts)
    curve(sheet)

    assert verdict(sheet, "demagnetising.start") == expected


def test_direct_current_starts_past_the_peak_of_the_knee_current(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    demagnetised(sheet, method="alternating_dc", i_start_a=0.03)
    curve(sheet)

    assert verdict(sheet, "demagnetising.start") == "refer"


def test_without_a_knee_the_start_is_referred(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    demagnetised(sheet)

    assert verdict(sheet, "demagnetising.start") == "refer"
    assert verdict(sheet, "demagnetising.proof") == "not tested"


def test_an_interrupted_run_is_outside(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    demagnetised(sheet, demagnetising_end="interrupted")

    assert verdict(sheet, "demagnetising.end") == "outside"


@pytest.mark.parametrize(("low", "expected"), [(1.0, "within"), (2.2, "refer")])
def test_the_low_end_of_the_next_curve_proves_it_against_the_sisters(
    worksheet: Callable[..., Any], low: float, expected: str
) -> None:
    sheet = worksheet(phases=3)
    demagnetised(sheet)
    curve(sheet, low=low)
    curve(sheet, 1.03, core=1)
    curve(sheet, 0.98, core=2)

    assert verdict(sheet, "demagnetising.proof") == expected


def test_curves_before_and_after_prove_it_by_themselves(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    curve(sheet, low=1.7)
    demagnetised(sheet)
    curve(sheet, take=2)

    assert verdict(sheet, "demagnetising.proof") == "within"
    assert "only the low end moved" in sheet.found("demagnetising.proof").text


def test_the_plan_of_steps_starts_at_the_knee_of_the_core(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    demagnetised(sheet)
    curve(sheet)
    wanted = sheet.derived("demagnetising", "v_start_wanted_v", "winding")
    scene = scene_of(sheet.job, sheet.place(), takes_of(sheet.readings))

    assert wanted.value == pytest.approx(1.2 * sheet.derived("excitation", "v_knee_iec_v").value)
    assert wanted.note == plan_words(scene)
    assert wanted.note.startswith("Run down in 23 steps or smoothly")


def test_a_missing_method_is_said(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("demagnetising", "winding", v_start_v=500.0)

    assert verdict(sheet, "demagnetising.method") == "not tested"
