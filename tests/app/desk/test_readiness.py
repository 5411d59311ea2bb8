"""Counted links and earths, wherever the tests of a core counted them."""

from __future__ import annotations

import pytest

from app.desk.readiness import why_not_complete
from ctcore.job import CT, METHOD_ROW, Core, Header, Job, Position, Remark, Tap
from ctcore.takes import Cell, Row, Take
from tests.app.report.making import reading

TAP = Tap(tap_id="t", terminals_text="1S1-1S2", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)
CORE = Core(core_id="k1", number=1, class_text="", taps=(TAP,))
JOB = Job(
    job_id="j",
    header=Header(number_text="1"),
    positions=(
        Position(position_id="p", name_text="S1", cts=(CT(ct_id="c", phase_text="L1", cores=(CORE,)),)),
    ),
)
EXPLAINED = Remark(
    remark_id="r",
    core_id="k1",
    procedure_id="links_back",
    text="link 7 stays open, drawing changed",
    person_id="p",
    at_utc="2031-05-04T08:00:00Z",
    utc_offset_minutes=0,
)


def counted(**counts: str) -> dict[tuple[str, str], tuple[Take, ...]]:
    cells = {}
    for name, text in counts.items():
        entry = reading("k1", "links_back", METHOD_ROW, name, text)
        cells[name] = Cell((entry,), (entry,))
    return {("k1", "links_back"): (Take("k1", "links_back", 1, Row(METHOD_ROW, cells)),)}


@pytest.mark.parametrize(
    ("counts", "reasons"),
    [
        ({"links_found_count": "12", "links_lifted_count": "12", "links_closed_count": "12"}, []),
        (
            {"links_found_count": "12", "links_lifted_count": "12", "links_closed_count": "11"},
            ["S1 L1 core 1: 12 links were found closed and 11 are closed now"],
        ),
        (
            {"links_lifted_count": "12"},
            ["S1 L1 core 1: 12 links were lifted, and it is not said how many were closed again"],
        ),
        ({"earths_left_count": "1"}, []),
        ({"earths_left_count": "2"}, ["S1 L1 core 1: the circuit was left with 2 earths; one is wanted"]),
        ({"earths_left_count": "0"}, ["S1 L1 core 1: the circuit was left with 0 earths; one is wanted"]),
    ],
)
def test_links_closed_again_are_those_found_closed_and_the_earth_is_one(
    counts: dict[str, str], reasons: list[str]
) -> None:
    found = why_not_complete(JOB, counted(**counts), ())

    assert [one for one in found if one.startswith("S1 L1 core 1: ")] == reasons


def test_a_remark_on_the_links_settles_a_count_that_differs() -> None:
    import dataclasses

    job = dataclasses.replace(JOB, remarks=(EXPLAINED,))

    assert why_not_complete(job, counted(earths_left_count="2"), ()) == []
