from __future__ import annotations

import dataclasses
import threading
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from app.jobstore import Store, StoreProblem, parts_of
from app.record.act import Act
from ctcore.job import Header, Job, Reading

MakeAct = Callable[..., Act]
MakeReading = Callable[..., Reading]


def test_a_job_comes_back_as_it_was_made(filled: Store, job: Job) -> None:
    assert filled.load("j1") == job


def test_a_job_comes_back_after_closing_and_opening(filled: Store, path: Path, job: Job) -> None:
    filled.close()
    with closing(Store.open(path)) as again:
        assert (again.load("j1"), again.device_id, again.opening_note) == (job, "d1", None)


def test_a_closed_store_is_one_plain_file(filled: Store, path: Path) -> None:
    filled.close()
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]


def test_a_reading_gets_device_and_sequence_from_the_store(
    filled: Store, act: MakeAct, reading: MakeReading
) -> None:
    filled.append("j1", act(), readings=[reading()])
    receipt = filled.append("j1", act(), readings=[reading(), reading()])
    assert [(entry.device_id, entry.device_seq) for entry in receipt.readings] == [("d1", 2), ("d1", 3)]
    assert filled.load("j1").readings[1:] == receipt.readings


def test_every_field_of_a_reading_comes_back(filled: Store, act: MakeAct, reading: MakeReading) -> None:
    entered = reading(
        "> 2000 ", value_text=None, over_range=True, under_range=True, instrument_id="m1", supersedes_id="r0",
        reason_text="slipped lead", struck=True, withdrawn=True,
    )  # fmt: skip
    filled.append("j1", act(), readings=[entered])
    assert filled.load("j1").readings == (dataclasses.replace(entered, device_id="d1", device_seq=1),)


def test_a_reading_of_another_device_keeps_its_device_and_sequence(
    filled: Store, act: MakeAct, reading: MakeReading
) -> None:
    foreign = reading(device_id="d9", device_seq=41)
    assert filled.append("j1", act(), readings=[foreign]).readings == (foreign,)


def test_a_new_number_follows_the_own_ones_that_came_along(
    filled: Store, act: MakeAct, reading: MakeReading
) -> None:
    receipt = filled.append("j1", act(), readings=[reading(device_id="d1", device_seq=5), reading()])
    assert [entry.device_seq for entry in receipt.readings] == [5, 6]


def test_a_sequence_number_cannot_stand_twice(filled: Store, act: MakeAct, reading: MakeReading) -> None:
    filled.append("j1", act(), readings=[reading(device_id="d9", device_seq=41)])
    with pytest.raises(StoreProblem, match="contradicts what is stored"):
        filled.append("j1", act(), readings=[reading(device_id="d9", device_seq=41)])


def test_parts_replace_those_of_the_same_id_and_removed_ones_go(
    filled: Store, job: Job, act: MakeAct
) -> None:
    first = dataclasses.replace(job.positions[0], name_text="Bay 7")
    after = dataclasses.replace(job, positions=(first,), header=Header(number_text="1043"))
    kept = [part.part_id for part in parts_of(after)]
    gone = [part.part_id for part in parts_of(job) if part.part_id not in kept]
    filled.append("j1", act(), parts=parts_of(after), removed_parts=gone)
    assert filled.load("j1") == after
    assert [(line.number_text, line.core_count) for line in filled.jobs()] == [("1043", 4)]


def test_a_job_is_not_made_twice(filled: Store, job: Job, act: MakeAct) -> None:
    with pytest.raises(StoreProblem, match="contradicts what is stored"):
        filled.create(job, act())


def test_a_job_brings_its_readings_along(store: Store, job: Job, act: MakeAct, reading: MakeReading) -> None:
    brought = (reading(device_id="d9", device_seq=3), reading())
    receipt = store.create(dataclasses.replace(job, readings=brought), act())
    assert store.load("j1").readings == receipt.readings
    assert [entry.device_id for entry in receipt.readings] == ["d9", "d1"]


def test_an_unknown_job_is_said_to_be_unknown(filled: Store, act: MakeAct) -> None:
    with pytest.raises(StoreProblem, match="no such job"):
        filled.load("j9")
    with pytest.raises(StoreProblem, match="no such job"):
        filled.append("j9", act())
    assert len(filled.events()) == 1


def test_the_list_shows_the_job_changed_last_first(filled: Store, job: Job, act: MakeAct) -> None:
    filled.create(dataclasses.replace(job, job_id="j2"), act(at_utc="2031-05-05T08:00:00.000Z"))
    line = filled.jobs()[1]
    assert [entry.job_id for entry in filled.jobs()] == ["j2", "j1"]
    assert (line.number_text, line.site_text, line.state, line.core_count) == (
        "1042",
        "Fenmark",
        "being_tested",
        6,
    )
    assert (line.worst, line.changed_at_utc) == ("not tested", "2031-05-04T08:42:07.120Z")


def test_another_thread_than_the_opening_one_may_write(
    filled: Store, act: MakeAct, reading: MakeReading
) -> None:
    entered = [reading() for _ in range(20)]
    threads = [
        threading.Thread(target=lambda one=one: filled.append("j1", act(), readings=[one])) for one in entered
    ]
    [thread.start() for thread in threads]
    [thread.join() for thread in threads]
    assert sorted(entry.device_seq for entry in filled.load("j1").readings) == list(range(1, 21))
    assert filled.faults() == []


def test_a_closed_store_says_that_it_is_closed(filled: Store) -> None:
    filled.close()
    filled.close()
    with pytest.raises(StoreProblem, match="is closed"):
        filled.jobs()
