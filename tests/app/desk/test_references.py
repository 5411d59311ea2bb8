"""What a job is compared with: kept with its source, and each difference a deviation."""

from __future__ import annotations

import dataclasses

import pytest

from app.desk import Desk, Refusal
from app.desk.references import differences
from ctcore.errors import BadInput
from ctcore.evidence import Watched
from ctcore.job import Permit, Person

CURVE = "U [V]\tI [mA]\n100\t10\n200,0\t15\n300\t100\n"


def _tap_id(desk: Desk, job_id: str) -> str:
    return desk.view(job_id).job.positions[0].cts[0].cores[0].taps[0].tap_id


def _keep(desk: Desk, job_id: str, core_id: str, typed: str, source: str = "certificate 77") -> None:
    desk.set_reference_value(
        job_id, core_id, _tap_id(desk, job_id), "r_winding_75degc_ohm",
        kind="certificate", typed_text=typed, source_text=source,
    )  # fmt: skip


def test_a_resistance_of_the_certificate_is_kept_in_ohms_with_its_source(
    desk: Desk, job_id: str, core_id: str
) -> None:
    _keep(desk, job_id, core_id, "2500 mohm")
    (value,) = desk.view(job_id).job.references.values
    assert (value.value, value.source_text, value.kind) == (2.5, "certificate 77", "certificate")


def test_a_second_figure_replaces_the_first_and_an_empty_one_takes_it_out(
    desk: Desk, job_id: str, core_id: str
) -> None:
    _keep(desk, job_id, core_id, "2.5")
    _keep(desk, job_id, core_id, "2.6")
    assert [one.value for one in desk.view(job_id).job.references.values] == [2.6]
    _keep(desk, job_id, core_id, "")
    assert desk.view(job_id).job.references.values == ()
    assert [one.value for one in desk.undo(job_id).view.job.references.values] == [2.6]


@pytest.mark.parametrize(
    ("typed", "source", "reason"),
    [("2o5", "c", "2o5"), ("2.5", " ", "say where"), (">2.5", "c", "bound"), ("2.5 V", "c", "unit")],
)
def test_a_figure_that_is_none_or_has_no_source_is_refused(
    desk: Desk, job_id: str, core_id: str, typed: str, source: str, reason: str
) -> None:
    with pytest.raises(BadInput) as refusal:
        _keep(desk, job_id, core_id, typed, source)
    assert reason in str(refusal.value)
    assert desk.view(job_id).job.references.values == ()


def _curve(desk: Desk, job_id: str, core_id: str, block: str) -> None:
    desk.set_reference_curve(
        job_id, core_id, _tap_id(desk, job_id), kind="previous", block_text=block,
        source_text="sheet 4 of 2019", frequency_hz=50.0, voltage_response="mean",
    )  # fmt: skip


def test_a_pasted_curve_is_kept_in_base_units(desk: Desk, job_id: str, core_id: str) -> None:
    _curve(desk, job_id, core_id, CURVE)
    (curve,) = desk.view(job_id).job.references.curves
    assert [(point.voltage_v, point.current_a) for point in curve.points] == [
        (100.0, 0.01), (200.0, 0.015), (300.0, 0.1),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("block", "words"),
    [
        ("100\t1o\n200\t15\n", "row 1 of the curve"),
        ("100\n200\n", "two columns"),
        ("100\t10\n200\t\n", "is empty"),
    ],
)
def test_a_block_that_is_no_curve_is_refused_whole(
    desk: Desk, job_id: str, core_id: str, block: str, words: str
) -> None:
    with pytest.raises(BadInput) as refusal:
        _curve(desk, job_id, core_id, block)
    assert words in str(refusal.value)
    assert desk.view(job_id).job.references.curves == ()


def test_a_plate_that_differs_from_its_drawing_becomes_one_deviation(
    desk: Desk, job_id: str, core_id: str
) -> None:
    desk.set_expected(job_id, core_id, "class", value_text="5P10 15 VA", source_text="drawing 12")
    desk.note_differences(job_id)
    (deviation,) = desk.note_differences(job_id).view.job.deviations
    assert deviation.found_text == "The class is 5P20 15 VA on the plate and 5P10 15 VA in drawing 12."
    assert deviation.core_id == core_id


def test_spaces_and_signs_are_no_difference(desk: Desk, job_id: str, core_id: str) -> None:
    desk.set_expected(job_id, core_id, "class", value_text="5p20 15VA", source_text="drawing 12")
    change = desk.set_expected(job_id, core_id, "ratio", value_text="600 / 1", source_text="drawing 12")
    assert differences(change.view.job) == []


def test_a_difference_that_is_gone_takes_its_open_deviation_along(
    desk: Desk, job_id: str, core_id: str
) -> None:
    desk.set_expected(job_id, core_id, "class", value_text="5P10 15 VA", source_text="drawing 12")
    desk.note_differences(job_id)
    desk.set_expected(job_id, core_id, "class", value_text="", source_text="")
    assert desk.note_differences(job_id).view.job.deviations == ()


def test_a_deviation_has_what_is_done_by_whom_until_when(desk: Desk, job_id: str, core_id: str) -> None:
    desk.set_expected(job_id, core_id, "class", value_text="5P10 15 VA", source_text="drawing 12")
    (deviation,) = desk.note_differences(job_id).view.job.deviations
    change = desk.settle_deviation(
        job_id, deviation.deviation_id, disposition_text="replace", owner_text="A. Rill", due_on="2031-06-01"
    )
    (settled,) = change.view.job.deviations
    assert (settled.disposition_text, settled.owner_text, settled.due_on) == (
        "replace", "A. Rill", "2031-06-01",
    )  # fmt: skip
    with pytest.raises(BadInput, match="due date"):
        desk.settle_deviation(
            job_id, deviation.deviation_id, disposition_text="", owner_text="", due_on="1 June"
        )


def test_permits_are_numbers_and_times(desk: Desk, job_id: str) -> None:
    permit = Permit(kind_text="permit to work", number_text="88", issued_text="07:40")
    assert desk.set_permits(job_id, [permit]).view.job.header.permits == (permit,)
    with pytest.raises(BadInput, match="has a number"):
        desk.set_permits(job_id, [dataclasses.replace(permit, number_text=" ")])


def test_a_witness_names_the_tests_that_were_watched(desk: Desk, job_id: str) -> None:
    desk.set_person(job_id, Person(person_id="w", name_text="W. Atcher"))
    core_id = desk.view(job_id).job.positions[0].cts[0].cores[0].core_id
    change = desk.set_watched(job_id, "w", {core_id: ["excitation", "ratio", "ratio"]})
    watched = (Watched(core_id=core_id, procedures=("ratio", "excitation")),)
    assert change.view.job.people[-1].watched == watched
    desk.close_job(job_id)
    assert desk.open_job(job_id).job.people[-1].watched == watched
    assert desk.set_watched(job_id, "w", {core_id: []}).view.job.people[-1].watched == ()
    for person_id, tests in (("nobody", {}), ("w", {"no core": ["ratio"]})):
        with pytest.raises(Refusal, match="Nothing was changed"):
            desk.set_watched(job_id, person_id, tests)
