"""Every planted fault is noticed and nothing else; clean bays raise nothing, however their meters scatter."""

from __future__ import annotations

import json
from importlib import resources

import pytest

from app.exchange import jobfile
from ctcore.job import Job
from ctcore.notices import notices
from ctcore.takes import takes_of
from samples import sample
from samples.making.__main__ import EXPECTED_NAME
from samples.making.faulty_bay import expected
from samples.making.plain_bay import make
from samples.making.plain_tests import Bay


def noticed(job: Job) -> list[tuple[str, tuple[str, ...]]]:
    return sorted((entry.notice_id, entry.cores) for entry in notices(job, takes_of(job.readings)))


def job_of(name: str) -> Job:
    with resources.as_file(sample(name).file) as path:
        return jobfile.load(path)


def test_every_planted_fault_is_noticed_and_nothing_else() -> None:
    listed = json.loads(resources.files("samples").joinpath(EXPECTED_NAME).read_text("utf-8"))

    assert noticed(job_of("faulty_bay")) == sorted(
        (entry["notice_id"], tuple(entry["cores"])) for entry in listed["notices"]
    )


def test_the_list_beside_the_faulty_bay_is_what_its_maker_lists() -> None:
    listed = json.loads(resources.files("samples").joinpath(EXPECTED_NAME).read_text("utf-8"))

    assert listed == expected()


@pytest.mark.parametrize("name", ["clean_bay", "steel_toroid", "line_bay"])
def test_a_sample_without_a_planted_slip_raises_no_notice(name: str) -> None:
    assert noticed(job_of(name)) == []


@pytest.mark.parametrize("seed", range(7200, 7212))
def test_clean_bays_with_scatter_of_the_meters_raise_no_notice(seed: int) -> None:
    """Twelve here; the fault suite `clean_bays` makes two hundred."""
    assert noticed(make(Bay(f"clean-{seed}", "1", "Clean", seed, positions=("Feeder 1",)))) == []


def test_a_notice_says_how_much_and_ends_in_a_question() -> None:
    sentences = [
        entry.sentence for entry in notices(job_of("faulty_bay"), takes_of(job_of("faulty_bay").readings))
    ]

    assert [text for text in sentences if not text.endswith("?")] == []
