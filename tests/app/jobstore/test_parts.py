from __future__ import annotations

import dataclasses

import pytest

from app.jobstore.parts import changes, job_from_parts, part_id_of, parts_of
from ctcore.errors import BadInput
from ctcore.job import Job, Position


def test_a_job_comes_back_from_its_parts(job: Job) -> None:
    assert job_from_parts(parts_of(job)) == job


def test_a_job_comes_back_from_its_parts_in_any_order(job: Job) -> None:
    assert job_from_parts(list(reversed(parts_of(job)))) == job


def test_every_part_has_an_id_of_its_own(job: Job) -> None:
    ids = [part.part_id for part in parts_of(job)]
    assert len(set(ids)) == len(ids)


def test_equal_ids_of_different_kinds_do_not_clash(job: Job) -> None:
    positions = (dataclasses.replace(job.positions[0], position_id="a"),)
    clashing = dataclasses.replace(job, positions=positions)
    assert job_from_parts(parts_of(clashing)) == clashing


def test_two_positions_with_one_id_are_refused(job: Job) -> None:
    doubled = dataclasses.replace(
        job, positions=(job.positions[0], Position(position_id="b1", name_text="x"))
    )
    with pytest.raises(BadInput, match="position: b1: the same id stands twice"):
        parts_of(doubled)


def test_only_the_parts_that_differ_are_changes(job: Job) -> None:
    first = dataclasses.replace(job.positions[0], name_text="Bay 7")
    after = dataclasses.replace(job, positions=(first,), remarks=())
    changed, removed = changes(job, after)
    assert [part.part_id for part in changed] == ["position:b1"]
    assert removed == ["position:b2", "ct:d", "remark:n1"]


def test_a_job_without_changes_has_none(job: Job) -> None:
    assert changes(job, job) == ([], [])


def test_a_transformer_without_its_position_is_refused(job: Job) -> None:
    orphaned = [part for part in parts_of(job) if part.part_id != part_id_of("position", "b2")]
    with pytest.raises(BadInput, match="ct:d: belongs to no position"):
        job_from_parts(orphaned)


def test_parts_without_a_title_block_are_no_job(job: Job) -> None:
    with pytest.raises(BadInput, match="header: 0: a job has exactly one"):
        job_from_parts([part for part in parts_of(job) if part.kind != "header"])
