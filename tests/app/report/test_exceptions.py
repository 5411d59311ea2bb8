"""The table of exceptions, which follows the summary."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

import pytest

from app.report.content import SheetInput
from ctcore.job import Job
from tests.app.report.making import draft, reading, set_of

Printed = Callable[[SheetInput], str]


def _plain(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def over_range() -> Job:
    """Two insulation readings over the range of the instrument, held against a limit made for secondaries."""
    job = set_of(("L1",), points=4)
    method = [
        reading("L1", "insulation", "method", "t_winding_degc", "20"),
        reading("L1", "insulation", "method", "t_winding_source", "probe"),
    ]
    rows = [
        reading("L1", "insulation", row, quantity_id, text, over_range=over)
        for row in ("primary_secondary", "primary_earth")
        for quantity_id, text, over in (
            ("v_test_v", "1000", False),
            ("insulation_resistance_ohm", "20000000000", True),
        )
    ]
    return dataclasses.replace(job, readings=(*job.readings, *method, *rows))


def test_a_row_of_a_test_is_called_by_its_words(printed: Printed, over_range: Job) -> None:
    said = _plain(printed(draft(over_range)))
    assert "Primary to secondaries: insulation" in said
    assert "primary_secondary" not in said


def test_a_reading_over_range_keeps_its_sign_among_the_exceptions(printed: Printed, over_range: Job) -> None:
    said = _plain(printed(draft(over_range)))
    assert "L1 > 20 000" in said


def test_a_limit_among_the_exceptions_has_its_unit(printed: Printed, over_range: Job) -> None:
    assert "1 MΩ at least" in _plain(printed(draft(over_range)))


def test_what_was_not_tested_for_one_reason_stands_together_across_positions(printed: Printed) -> None:
    one = dataclasses.replace(set_of(("L1", "L2")), readings=())
    position = one.positions[0]
    cts = tuple(
        dataclasses.replace(
            ct,
            ct_id=f"b-{ct.ct_id}",
            cores=tuple(dataclasses.replace(core, core_id=f"b-{core.core_id}") for core in ct.cores),
        )
        for ct in position.cts
    )
    other = dataclasses.replace(position, position_id="bus", name_text="Bus side", cts=cts)
    text = printed(draft(dataclasses.replace(one, positions=(position, other))))
    assert "Line side L1, L2, core 1 Bus side L1, L2, core 1 Insulation resistance" in text
