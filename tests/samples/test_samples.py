"""The sample jobs open, are judged, and are what their makers make."""

from __future__ import annotations

from collections import Counter
from importlib import resources
from pathlib import Path

import pytest

from app.exchange import jobfile
from ctcore.job import Job
from ctcore.judge import judge
from ctcore.procedures import MEASURED, PROCEDURES
from ctcore.takes import standing
from samples import FIRST, SAMPLES, Sample, sample
from samples.making.__main__ import EXPECTED_NAME, MAKERS, write_all


def job_of(name: str) -> Job:
    with resources.as_file(sample(name).file) as path:
        return jobfile.load(path)


def verdicts(name: str) -> dict[tuple[str, str], int]:
    return dict(Counter((one.procedure, one.verdict) for one in judge(job_of(name))))


def test_the_list_names_every_job_file_of_the_folder() -> None:
    found = {entry.name for entry in resources.files("samples").iterdir() if entry.name.endswith(".json")}
    found -= {EXPECTED_NAME}
    assert {entry.file_name for entry in SAMPLES} == found == set(MAKERS)


def test_the_first_sample_is_the_whole_day_of_testing() -> None:
    assert FIRST.name == "line_bay"


@pytest.mark.parametrize("entry", SAMPLES, ids=lambda entry: entry.name)
def test_a_sample_file_is_what_its_maker_makes(entry: Sample, tmp_path: Path) -> None:
    write_all(tmp_path)
    assert entry.file.read_bytes() == (tmp_path / entry.file_name).read_bytes()


@pytest.mark.parametrize("entry", SAMPLES, ids=lambda entry: entry.name)
def test_a_sample_is_named_by_the_id_of_its_job(entry: Sample) -> None:
    assert job_of(entry.name).job_id == entry.job_id


@pytest.mark.parametrize("entry", SAMPLES, ids=lambda entry: entry.name)
def test_every_instrument_is_inside_its_calibration_on_the_day(entry: Sample) -> None:
    job = job_of(entry.name)
    days = {reading.at_utc[:10] for reading in job.readings}
    # One ohmmeter of the faulty bay is out of calibration on purpose.
    stated = [
        one for one in job.instruments if one.due_on is not None and one.instrument_id != "old-ohmmeter"
    ]
    assert all(one.calibrated_on <= min(days) and max(days) <= one.due_on for one in stated)  # type: ignore[operator]


def test_one_sample_has_every_measured_test() -> None:
    tested = {reading.procedure_id for reading in job_of("line_bay").readings}
    assert tested == {procedure.procedure_id for procedure in MEASURED}


def test_one_sample_has_readings_of_every_test_there_is() -> None:
    tested = {reading.procedure_id for reading in job_of("every_test").readings}
    assert tested == {procedure.procedure_id for procedure in PROCEDURES}


def test_the_bay_of_every_test_is_in_order() -> None:
    # Referred: pairs with a primary, turns ratios by voltage, and errors calculated for the measuring class.
    by_verdict = Counter(one.verdict for one in judge(job_of("every_test")))
    assert by_verdict == {"within": 297, "refer": 21, "not applicable": 24}


def test_the_line_bay_has_one_wet_terminal_box_and_refers_what_no_limit_fits() -> None:
    # Insulation: the tradition of 1 MOhm is of secondaries and passes none of the six pairs with a primary.
    # Ratio: turns ratios by voltage and errors on the lower ratio are compared only. Excitation: three
    # composite errors, three security factors and six curves beside their sisters; the six tables calculated
    # from the curves decide nothing.
    assert verdicts("line_bay") == {
        ("insulation", "within"): 11,
        ("insulation", "outside"): 1,
        ("insulation", "refer"): 6,
        ("resistance", "within"): 24,
        ("ratio", "within"): 138,
        ("ratio", "refer"): 48,
        ("excitation", "within"): 12,
        ("excitation", "not applicable"): 6,
    }


def test_the_wet_terminal_box_is_found_where_it_is() -> None:
    outside = [one for one in judge(job_of("line_bay")) if one.verdict == "outside"]
    assert [(one.core, one.row) for one in outside] == [("L3-core-2", "secondary_earth")]


def test_the_ring_bus_refers_the_pairs_of_the_loose_stud() -> None:
    high = {
        one.row for one in judge(job_of("ring_bus_multi_ratio")) if one.rule == "resistance.sisters"
        and one.verdict == "refer"
    }  # fmt: skip
    assert high == {"X1-X5", "X2-X5", "X3-X5", "X4-X5"}


def test_the_ring_bus_has_ten_ratios_and_a_class_within_its_limit() -> None:
    # Resistance: the sections of each winding add up. Excitation: each curve lies beside its sisters', and
    # that of a lower tap on the line of the whole.
    assert verdicts("ring_bus_multi_ratio") == {
        ("resistance", "within"): 49,
        ("resistance", "refer"): 11,
        ("ratio", "within"): 60,
        ("ratio", "refer"): 30,
        ("excitation", "within"): 7,
        ("excitation", "refer"): 1,
    }


def test_the_toroids_meet_the_knee_that_their_plate_asks_for() -> None:
    assert verdicts("steel_toroid") == {("excitation", "within"): 6}


def test_the_line_bay_holds_a_strike_a_correction_and_a_retest_with_their_reasons() -> None:
    job = job_of("line_bay")
    struck = [one for one in job.readings if one.struck]
    corrected = [one for one in job.readings if one.supersedes_id and not one.struck]
    retests = [one for one in job.readings if one.quantity_id == "retest_reason_text"]
    assert (len(struck), len(corrected), len(retests)) == (2, 1, 1)
    assert all(one.reason_text for one in struck + corrected)


@pytest.mark.parametrize("entry", SAMPLES, ids=lambda entry: entry.name)
def test_no_field_of_a_sample_is_in_dispute(entry: Sample) -> None:
    kept = standing(job_of(entry.name).readings)
    fields = Counter((one.core_id, one.procedure_id, one.take, one.row, one.quantity_id) for one in kept)
    assert max(fields.values()) == 1
