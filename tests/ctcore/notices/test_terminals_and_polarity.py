"""Readings of another pair of terminals, and phases turned round."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.ctcore.notices.windings import VOLTS, Winding


def ratio(made: Any, core: str, row: str, turns: float, **more: Any) -> None:
    made.key(core, "ratio", ratio_method="voltage")
    made.key(core, "ratio", row, v_secondary_v=0.2 * turns, v_primary_v=0.2, **more)


def test_a_ratio_of_the_other_pair_is_noticed_with_its_name(bay: Callable[..., Any]) -> None:
    made = bay()
    ratio(made, "L1-1", "S1-S3", 300.2)
    (notice,) = made.noticed("wrong_tap")

    assert (notice.cores, notice.row) == (("L1-1",), "S1-S3")
    assert "Were the leads on S1-S2?" in notice.sentence


def test_a_ratio_between_two_pairs_of_a_tapped_winding_is_noticed(bay: Callable[..., Any]) -> None:
    made = bay()
    ratio(made, "L1-1", "S1-S2", 600.0)

    assert "S1-S3" in made.noticed("wrong_tap")[0].sentence


def test_a_ratio_of_its_own_pair_is_not(bay: Callable[..., Any]) -> None:
    made = bay()
    ratio(made, "L1-1", "S1-S3", 598.8)

    assert made.all_noticed() == []


def test_a_ratio_that_fits_no_pair_is_left_to_the_judgement(bay: Callable[..., Any]) -> None:
    made = bay()
    ratio(made, "L1-1", "S1-S3", 450.0)

    assert made.noticed("wrong_tap") == []


def test_a_ratio_of_currents_is_looked_at_too(bay: Callable[..., Any]) -> None:
    made = bay()
    made.key("L1-1", "ratio", ratio_method="current")
    made.key("L1-1", "ratio", "S1-S3", i_primary_a=300.0, i_secondary_a=1.0)

    assert made.cores_noticed("wrong_tap") == [("L1-1",)]


def test_a_curve_of_the_other_tap_falls_on_the_sisters_by_its_turns(bay: Callable[..., Any]) -> None:
    made = bay()
    made.windings()
    made.readings = [entry for entry in made.readings if entry.core_id != "L2-1"]
    made.curve("L2-1", [(volts / 2.0, 2.0 * amperes) for volts, amperes in Winding().curve(VOLTS)])
    (notice,) = made.noticed("wrong_tap")

    assert notice.cores == ("L2-1",)
    assert "Was it fed at S1-S2?" in notice.sentence


def test_one_pair_of_terminals_cannot_be_mistaken(bay: Callable[..., Any]) -> None:
    made = bay(more={"L1-1": {"taps": bay().job.positions[0].cts[0].cores[0].taps[:1]}})
    ratio(made, "L1-1", "S1-S2", 600.0)

    assert made.reason("wrong_tap") == "The plate names one pair of terminals only."


def test_without_ratio_and_curve_nothing_is_said_of_the_tap(bay: Callable[..., Any]) -> None:
    assert "Neither a ratio nor a curve" in bay().reason("wrong_tap")


@pytest.mark.parametrize("odd", ["L1", "L3"])
def test_one_phase_turned_round_is_noticed(bay: Callable[..., Any], odd: str) -> None:
    made = bay()
    for phase in ("L1", "L2", "L3"):
        ratio(made, f"{phase}-1", "S1-S3", 600.0, polarity_read="opposes" if phase == odd else "agrees")

    assert made.cores_noticed("reversed_phase") == [(f"{odd}-1",)]
    assert made.noticed("reversed_all") == []


def test_a_kick_tells_polarity_as_well(bay: Callable[..., Any]) -> None:
    made = bay()
    for phase, first, last in (("L1", "up", "down"), ("L2", "down", "up"), ("L3", "up", "down")):
        made.key(f"{phase}-1", "kick", "S1-S3", kick_make=first, kick_break=last)

    assert made.cores_noticed("reversed_phase") == [("L2-1",)]


def test_all_phases_turned_round_are_noticed_with_what_p1_faces(bay: Callable[..., Any]) -> None:
    made = bay(p1_faces_text="line")
    for phase in ("L1", "L2", "L3"):
        ratio(made, f"{phase}-1", "S1-S3", 600.0, polarity_read="opposes")
    (notice,) = made.noticed("reversed_all")

    assert notice.cores == ("L1-1", "L2-1", "L3-1")
    assert "P1 is noted as facing line" in notice.sentence
    assert made.noticed("reversed_phase") == []


def test_phases_that_agree_raise_nothing(bay: Callable[..., Any]) -> None:
    made = bay()
    for phase in ("L1", "L2", "L3"):
        ratio(made, f"{phase}-1", "S1-S3", 600.0, phase_displacement_arcmin=4.0)

    assert made.all_noticed() == []


def test_polarity_of_one_phase_cannot_be_held_against_others(bay: Callable[..., Any]) -> None:
    made = bay()
    ratio(made, "L1-1", "S1-S3", 600.0, polarity_read="opposes")

    assert "fewer than two phases" in made.reason("reversed_phase")
    assert "not known" in made.reason("reversed_all")
