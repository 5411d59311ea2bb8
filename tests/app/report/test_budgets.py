"""Uncertainty line by line, on paper."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

import pytest

from app.report.content import SheetInput
from ctcore.job import Instrument, Job
from tests.app.report.making import draft, reading

Printed = Callable[[SheetInput], str]
TITLE = "Uncertainty, line by line"


@pytest.fixture
def measured(three_phases: Job) -> Job:
    """One resistance of the first core, by an ohmmeter of 0.2 % and a thermometer of 1 K."""
    core = three_phases.positions[0].cts[0].cores[0]
    instruments = (
        Instrument(instrument_id="o", name_text="bridge no. 3", spec_reading_percent=0.2),
        Instrument(instrument_id="t", name_text="probe no. 8", spec_floor=1.0, spec_floor_unit="degC"),
    )
    keyed = [
        reading(core.core_id, "resistance", "method", name, text, instrument_id=instrument)
        for name, text, instrument in (
            ("leads", "four_wire", None), ("t_winding_degc", "20.0", "t"),
            ("t_winding_source", "surface_probe", None),
        )
    ]  # fmt: skip
    tap_id = core.full_tap.tap_id
    keyed.append(reading(core.core_id, "resistance", tap_id, "r_measured_ohm", "2.400", instrument_id="o"))
    plated = dataclasses.replace(core, r_winding_75degc_plate_ohm=3.0)
    ct = three_phases.positions[0].cts[0]
    position = dataclasses.replace(
        three_phases.positions[0],
        cts=(
            dataclasses.replace(ct, cores=(plated, *ct.cores[1:])),
            *three_phases.positions[0].cts[1:],
        ),
    )
    return dataclasses.replace(
        three_phases, positions=(position, *three_phases.positions[1:]), instruments=instruments,
        readings=tuple(keyed),
    )  # fmt: skip


def _ruled(job: Job, rule: str) -> Job:
    return dataclasses.replace(job, references=dataclasses.replace(job.references, decision_rule=rule))


def test_a_decision_with_its_uncertainty_prints_its_budget(printed: Printed, measured: Job) -> None:
    told = printed(draft(_ruled(measured, "guard_band"))).rsplit(TITLE, 1)[-1]

    assert "probability of conformance above 99.9 %" in told
    assert ("bridge no. 3" in told, "probe no. 8" in told) == (True, True)


def test_a_decision_by_the_figure_alone_prints_none(printed: Printed, measured: Job) -> None:
    assert TITLE not in printed(draft(_ruled(measured, "simple")))


def test_a_budget_that_does_not_come_to_the_record_is_told_instead_of_printed(
    printed: Printed, measured: Job
) -> None:
    given = draft(_ruled(measured, "guard_band"))
    other = [
        dataclasses.replace(one, u_expanded=1.5 * one.u_expanded) if one.u_expanded else one
        for one in given.findings
    ]

    told = printed(dataclasses.replace(given, findings=other)).rsplit(TITLE, 1)[-1]

    assert "U is that of the record" in told
    assert "probe no. 8" not in told.split("Instruments")[0]
