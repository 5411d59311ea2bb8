"""What a job file must hold to be taken, and that what is saved is what was there."""

from __future__ import annotations

import json
import os
import stat
from dataclasses import replace
from importlib import resources
from pathlib import Path
from typing import Any

import pytest

from app.exchange import jobfile, schema
from app.exchange.problem import JobFileProblem
from ctcore import job as model
from ctcore.errors import BadInput
from ctcore.job import Job

READING: dict[str, Any] = {
    "reading_id": "r1",
    "core_id": "k1",
    "procedure_id": "resistance",
    "take": 1,
    "row": "full",
    "quantity_id": "r_measured_ohm",
    "as_typed_text": "2.63",
    "value_text": "2.63",
    "person_id": "p1",
    "at_utc": "2026-03-04T09:30:00Z",
    "utc_offset_minutes": 60,
    "device_id": "d1",
    "device_seq": 1,
}


ANSWERED: dict[str, Any] = {
    "kind": "rebuttal", "text": "read twice", "person_id": "p1", "at_utc": "noon", "utc_offset_minutes": 0,
}  # fmt: skip
COMMENT: dict[str, Any] = {
    "remark_id": "m1", "core_id": "k1", "procedure_id": "resistance", "text": "why?", "person_id": "p2",
    "at_utc": "2026-03-04T09:40:00Z", "utc_offset_minutes": 60, "reading_id": "r9", "wants_answer": True,
    "steps": [ANSWERED],
}  # fmt: skip


def plain_job() -> dict[str, Any]:
    """A small whole job: one core of one tap and one reading."""
    tap = {"tap_id": "full", "terminals_text": "S1-S2", "i_primary_rated_a": 600, "i_secondary_rated_a": 1}
    core = {"core_id": "k1", "number": 1, "class_text": "5P20 15 VA", "taps": [tap]}
    ct = {"ct_id": "c1", "phase_text": "L1", "cores": [core]}
    return {
        "format": "coreleaf-job",
        "version": 1,
        "job_id": "j1",
        "header": {"number_text": "1042", "site_text": "Bucht 3 – Größe"},
        "positions": [{"position_id": "s1", "name_text": "Line bay", "cts": [ct]}],
        "readings": [dict(READING)],
    }


def text_of(plain: object) -> bytes:
    return json.dumps(plain).encode()


def refusal(data: bytes) -> str:
    with pytest.raises(JobFileProblem) as caught:
        jobfile.read(data, "bay.json")
    return caught.value.sentence


def changed(*path: str | int, value: object) -> bytes:
    """The small job with one value put elsewhere."""
    whole = plain_job()
    here: Any = whole
    for step in path[:-1]:
        here = here[step]
    here[path[-1]] = value
    return text_of(whole)


@pytest.fixture
def job() -> Job:
    return jobfile.read(text_of(plain_job()))


def test_a_saved_job_loads_as_the_same_job(job: Job, tmp_path: Path) -> None:
    jobfile.save(job, tmp_path / "bay.json")
    assert jobfile.load(tmp_path / "bay.json") == job


def test_saving_leaves_nothing_beside_the_file(job: Job, tmp_path: Path) -> None:
    jobfile.save(job, tmp_path / "bay.json")
    assert [entry.name for entry in tmp_path.iterdir()] == ["bay.json"]


def test_equal_jobs_are_saved_as_equal_bytes(job: Job) -> None:
    assert jobfile.to_bytes(job) == jobfile.to_bytes(jobfile.read(jobfile.to_bytes(job)))


def test_a_rename_that_fails_leaves_the_earlier_file_as_it_was(
    job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "bay.json"
    jobfile.save(job, target)
    before = target.read_bytes()

    def fail(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(JobFileProblem, match="no space left on device; what stood there before is untouched"):
        jobfile.save(replace(job, frequency_rated_hz=60.0), target)
    assert [(entry.name, entry.read_bytes()) for entry in tmp_path.iterdir()] == [("bay.json", before)]


def test_a_saved_file_can_be_read_by_others_of_the_office(job: Job, tmp_path: Path) -> None:
    jobfile.save(job, tmp_path / "bay.json")
    assert stat.S_IMODE((tmp_path / "bay.json").stat().st_mode) & stat.S_IROTH


def test_a_job_that_could_not_be_loaded_again_is_not_saved(job: Job, tmp_path: Path) -> None:
    astray = replace(job, readings=(replace(job.readings[0], core_id="k9"),))
    with pytest.raises(JobFileProblem, match=r"job\.readings\[0\]\.core_id"):
        jobfile.save(astray, tmp_path / "bay.json")
    assert list(tmp_path.iterdir()) == []


def test_a_number_that_is_none_is_not_saved(job: Job, tmp_path: Path) -> None:
    with pytest.raises(JobFileProblem, match="cannot be written"):
        jobfile.save(replace(job, frequency_rated_hz=float("nan")), tmp_path / "bay.json")


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(JobFileProblem, match=r"gone\.json: cannot be read: no such file"):
        jobfile.load(tmp_path / "gone.json")


def test_a_folder_is_no_job_file(tmp_path: Path) -> None:
    with pytest.raises(JobFileProblem, match="cannot be read: is a directory"):
        jobfile.load(tmp_path)


def test_a_refusal_is_bad_input_with_its_place() -> None:
    with pytest.raises(BadInput) as caught:
        jobfile.read(changed("frequency_rated_hz", value=-50), "bay.json")
    assert caught.value.quantity == "job.frequency_rated_hz"


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "bay.json: is empty"),
        (b" \n", "bay.json: is empty"),
        (text_of(plain_job())[:-40], "bay.json: is cut off: it stops short"),
        (b'{"format": "coreleaf-job", "version', "bay.json: is cut off: it stops short"),
        (b"volts;amperes\n1;2\n", "bay.json: is not JSON (line 1 column 1)"),
        (text_of(plain_job()) + b"{}", "bay.json: goes on after its end"),
        (b"\xef\xbb\xbf" + text_of(plain_job()), "bay.json: starts with a byte order mark"),
        (json.dumps(plain_job()).encode("utf-16"), "bay.json: is UTF-16 or UTF-32; a job file is UTF-8"),
        (b'{"format": "coreleaf-job", "x": "Gr\xf6\xdfe"}', "bay.json: is not UTF-8 text: byte 36"),
        (b"[" * 100_000, "bay.json: is nested more than 32 deep"),
        (b'{"a":' * 40 + b"1" + b"}" * 40, "is nested more than 32 deep"),
        (b"[1]", "bay.json: is no job file"),
        (b'{"format": "other", "version": 1}', 'bay.json: format: "other": is no job file'),
        (b'{"version": 1}', "bay.json: format: is no job file"),
        (b'{"x": NaN}', "bay.json: holds NaN; an unknown number is null"),
        (b'{"x": -Infinity}', "bay.json: holds -Infinity"),
        (b'{"x": 1e999}', "bay.json: holds 1e999, which no computer number can hold"),
        (b'{"x": ' + b"9" * 5000 + b"}", "bay.json: holds a whole number of 5000 digits"),
        (b'{"header": {"a": 1, "b": 2, "a": 1}}', "bay.json: job.header.a: stands twice in one group"),
        (b'{"x": [{"y": {"z": 0, "z": 0}}]}', "bay.json: job.x[0].y.z: stands twice in one group"),
        (b'{"format": "a", "format": "coreleaf-job"}', "bay.json: job.format: stands twice"),
        (b'{"x": "a\\u0000b"}', "bay.json: job.x: holds a control character"),
        (b'{"x": "\\ud800"}', "bay.json: job.x: holds a control character or half of a character"),
    ],
)
def test_bytes_that_are_no_job_file_are_refused_with_the_reason(data: bytes, sentence: str) -> None:
    assert sentence in refusal(data)


@pytest.mark.parametrize(
    ("path", "value", "sentence"),
    [
        (("version",), 7, "bay.json: version: made by a newer Coreleaf, version 7"),
        (("version",), True, "version: True: a whole number from 1 up is wanted"),
        (("version",), "1", 'version: "1": a whole number from 1 up is wanted'),
        (("version",), 0, "version: 0: a whole number from 1 up is wanted"),
        (("headre",), {}, "job.headre: unknown name"),
        (("header",), {}, "job.header.number_text: is missing"),
        (("header", "colour"), "red", "job.header.colour: unknown name"),
        (("frequency_rated_hz",), "50", 'job.frequency_rated_hz: "50": a number is wanted here'),
        (("frequency_rated_hz",), None, "job.frequency_rated_hz: a number is wanted here"),
        (("frequency_rated_hz",), True, "job.frequency_rated_hz: True: a number is wanted here"),
        (("phase_names",), "L1", 'job.phase_names: "L1": a list is wanted here'),
        (("state",), "done", "'sent_back', 'approved', 'issued', 'superseded' or 'void' is wanted here"),
        (("readings", 0, "take"), 1.5, "job.readings[0].take: 1.5: a whole number is wanted here"),
        (("readings", 0, "struck"), 1, "job.readings[0].struck: 1: true or false is wanted here"),
        (("readings", 0, "value_text"), 2.63, "job.readings[0].value_text: 2.63: text is wanted here"),
    ],
)
def test_a_wrong_value_is_named_by_its_place(
    path: tuple[str | int, ...], value: object, sentence: str
) -> None:
    assert sentence in refusal(changed(*path, value=value))


TAP = ("positions", 0, "cts", 0, "cores", 0, "taps", 0)
CORE = TAP[:6]


@pytest.mark.parametrize(
    ("path", "value", "sentence"),
    [
        (("job_id",), " ", "job.job_id"),
        (("frequency_rated_hz",), 0, "job.frequency_rated_hz: 0.0: is above zero"),
        (("frequency_rated_hz",), 1e-300, "job.frequency_rated_hz: 1e-300: frequency is 0.1 or more"),
        (("readings", 0, "value_text"), "-2.63", '"-2.63": resistance as read is 1e-07 or more'),
        ((*TAP, "i_primary_rated_a"), 0, "taps[0].i_primary_rated_a: 0.0: is above zero"),
        ((*TAP, "i_secondary_rated_a"), 0, "taps[0].i_secondary_rated_a: 0.0: is above zero"),
        ((*TAP, "turns_secondary_count"), -600, "taps[0].turns_secondary_count: -600.0: is above zero"),
        ((*TAP, "turns_primary_count"), 0, "taps[0].turns_primary_count: 0.0: is above zero"),
        ((*CORE, "r_winding_75degc_plate_ohm"), -1, "r_winding_75degc_plate_ohm: -1.0: is above zero"),
        ((*CORE, "taps"), [], "cores[0].taps: a core has at least one pair of terminals"),
        ((*CORE, "service_tap_id"), "S9", 'cores[0].service_tap_id: "S9": no tap of this core has that id'),
        ((*CORE, "procedures"), ["weight"], 'cores[0].procedures[0]: "weight": no test has that name'),
        ((*CORE, "left_out"), [{"procedure_id": "weight", "reason_text": "x"}], '"weight": no test has that'),
        ((*CORE, "left_out"), [{"procedure_id": "load", "reason_text": " "}], "is left out with a reason"),
        ((*CORE, "number"), 0, "cores[0].number: 0: cores are counted from 1"),
        (("people",), [{"person_id": "p", "name_text": "a"}] * 2, '"p": this person_id stands twice'),
        (("readings",), [READING, READING], 'job.readings: "r1": this reading_id stands twice'),
        (("readings",), [READING, {**READING, "reading_id": "r2"}], '"d1 1": this device_seq stands twice'),
        (("readings", 0, "core_id"), "k9", 'job.readings[0].core_id: "k9": no core of this job has that id'),
        (("readings", 0, "procedure_id"), "weight", 'procedure_id: "weight": no test has that name'),
        (("readings", 0, "row"), "S9", 'row: "S9": no row of that name in resistance of this core'),
        (("readings", 0, "quantity_id"), "mass_kg", 'quantity_id: "mass_kg": no quantity has that name'),
        (("readings", 0, "instrument_id"), "i9", '"i9": no instrument of this job has that id'),
        (("readings", 0, "take"), 0, "take: 0: takes are counted from 1"),
        (("readings", 0, "value_text"), "2,63", '"2,63": a decimal number in the base unit is wanted'),
        (("readings", 0, "value_text"), "NaN", '"NaN": a decimal number in the base unit is wanted'),
        (("readings", 0, "value_text"), "1e999", '"1e999": a decimal number in the base unit is wanted'),
        (("readings", 0, "supersedes_id"), "r9", 'supersedes_id: "r9": no reading of this job has that id'),
        (
            ("remarks",),
            [{**COMMENT, "steps": []}],
            'job.remarks[0].reading_id: "r9": no reading of this job has that id',
        ),
        (("remarks",), [{**COMMENT, "reading_id": "r1"}], 'steps[0].at_utc: "noon": a time in UTC such as'),
        (("readings", 0, "supersedes_id"), "r1", "these readings supersede one another"),
        (("readings", 0, "struck"), True, "a struck or withdrawn reading has no value"),
        (("readings", 0, "at_utc"), "yesterday", "a time in UTC such as 2026-03-04T09:30:00Z is wanted"),
        (("readings", 0, "at_utc"), "2026-02-30T09:30:00Z", "a time in UTC such as"),
        (("readings", 0, "utc_offset_minutes"), 5000, "utc_offset_minutes: 5000: is more than a day"),
        (("references",), {"voltage_ceiling_v": 0}, "voltage_ceiling_v: 0.0: is above zero"),
    ],
)
def test_parts_that_do_not_belong_together_are_refused(
    path: tuple[str | int, ...], value: object, sentence: str
) -> None:
    assert sentence in refusal(changed(*path, value=value))


def test_a_correction_of_another_field_is_refused() -> None:
    other = {**READING, "reading_id": "r2", "device_seq": 2, "quantity_id": "i_test_a", "supersedes_id": "r1"}
    assert "that reading stands in another field" in refusal(changed("readings", value=[READING, other]))


def test_a_reading_that_is_no_number_keeps_its_text() -> None:
    no_number = {**READING, "as_typed_text": "3o.9", "value_text": None}
    kept = jobfile.read(changed("readings", 0, value=no_number))
    assert (kept.readings[0].as_typed_text, kept.readings[0].value_text) == ("3o.9", None)


def test_a_sentence_is_one_line_whatever_the_file_holds() -> None:
    assert "\n" not in refusal(changed("readings", 0, "row", value="S1\nS2\u2028S3"))


def test_a_sentence_stays_short_whatever_the_file_holds() -> None:
    assert len(refusal(changed("header", "x" * 9000, value="y" * 9000))) < 400


def test_the_published_schema_is_the_one_that_is_used() -> None:
    published = resources.files("resources").joinpath("job_file.schema.json").read_text(encoding="utf-8")
    assert json.loads(published) == schema.schema()


def test_schema_and_plates_name_the_same_fields(job: Job) -> None:
    assert set(schema.schema()["properties"]) == {"format", "version", *model.to_plain(job)}
