"""Tests out of their order, and what the core saw last. The order is common practice, no source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from ctcore.job import Job, places
from ctcore.notices import Notice, notices
from ctcore.takes import takes_of
from tests.ctcore.notices.windings import VOLTS, Winding

CURVE = Winding().curve(VOLTS)
DEMAGNETISED = {"demagnetising_method": "ac_ramp"}


def ratio(made: Any, core: str = "L1-1") -> None:
    made.key(core, "ratio", ratio_method="voltage")
    made.key(core, "ratio", "S1-S3", v_secondary_v=120, v_primary_v=0.2, polarity_read="agrees")


def found(made: Any) -> list[tuple[str, str]]:
    return [(one.procedure, one.sentence) for one in made.noticed("out_of_order")]


def test_volts_before_the_insulation_was_proved_are_noticed(bay: Callable[..., Any]) -> None:
    made = bay()
    made.resistances("L1-1")
    made.key("L1-1", "insulation", "secondary_earth", insulation_resistance_ohm=1e9)
    (told,) = found(made)

    assert told[0] == "resistance"
    assert "winding resistance was begun before insulation resistance" in told[1]
    assert told[1].endswith("?")


def test_a_ratio_before_demagnetising_is_noticed_and_says_what_to_do(bay: Callable[..., Any]) -> None:
    made = bay()
    ratio(made)
    made.key("L1-1", "demagnetising", **DEMAGNETISED)
    (told,) = found(made)

    assert told[0] == "ratio"
    assert told[1].endswith("Demagnetise and take it again?")


def test_a_curve_before_demagnetising_is_noticed_unless_it_says_otherwise(bay: Callable[..., Any]) -> None:
    said, unsaid = bay(), bay()
    said.curve("L1-1", CURVE)
    unsaid.curve("L1-1", CURVE, demagnetised="no")
    for made in (said, unsaid):
        made.key("L1-1", "demagnetising", **DEMAGNETISED)

    assert found(said) == []
    assert [procedure for procedure, _ in found(unsaid)] == ["excitation"]


def test_a_planned_demagnetising_that_was_left_is_noticed_at_the_ratio(bay: Callable[..., Any]) -> None:
    made = bay()
    ratio(made)

    assert found(made) == []
    assert [one.procedure for one in planned(made, "demagnetising", "ratio")] == ["ratio"]


def planned(made: Any, *procedures: str) -> list[Notice]:
    """What is noticed where every core has that plan."""
    job: Job = made.job
    positions = tuple(
        replace(
            position,
            cts=tuple(
                replace(ct, cores=tuple(replace(core, procedures=procedures) for core in ct.cores))
                for ct in position.cts
            ),
        )
        for position in job.positions
    )
    told = notices(replace(job, positions=positions), takes_of(made.readings))
    assert places(job)
    return [one for one in told if one.notice_id == "out_of_order"]


@pytest.mark.parametrize("later", ["injection", "load"])
def test_primary_current_before_links_were_counted_back_is_noticed(
    bay: Callable[..., Any], later: str
) -> None:
    made = bay()
    made.key("L1-1", later, "l1", i_primary_a=200)
    made.key("L1-1", "links_back", links_closed_count=2)

    assert [procedure for procedure, _ in found(made)] == [later]


def test_a_test_after_the_links_were_back_asks_to_count_them_again(bay: Callable[..., Any]) -> None:
    made = bay()
    made.key("L1-1", "links_back", links_closed_count=2)
    made.resistances("L1-1")
    (told,) = found(made)

    assert told[0] == "links_back"
    assert "Count links and earth once more?" in told[1]

    made.key("L1-1", "links_back", take=2, links_closed_count=2)
    assert found(made) == []


def test_a_day_in_its_order_is_quiet(bay: Callable[..., Any]) -> None:
    made = bay()
    made.key("L1-1", "insulation", "secondary_earth", insulation_resistance_ohm=1e9)
    made.resistances("L1-1")
    made.key("L1-1", "demagnetising", **DEMAGNETISED)
    ratio(made)
    made.curve("L1-1", CURVE)
    made.key("L1-1", "links_back", links_closed_count=2)

    assert found(made) == []
    assert made.noticed("injected_last") == []


def test_a_core_without_readings_has_no_order(bay: Callable[..., Any]) -> None:
    assert "No test with a given order" in bay().reason("out_of_order")
    assert "is not recorded" in bay().reason("injected_last")


def test_primary_injection_as_the_last_asks_for_the_core(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE)
    made.key("L1-1", "injection", "l1", i_primary_a=200)
    (told,) = made.noticed("injected_last")

    assert "run down to zero" in told.sentence
    made.key("L1-1", "demagnetising", **DEMAGNETISED)
    assert made.noticed("injected_last") == []
