from __future__ import annotations

import dataclasses
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from app.jobstore import Store
from app.record.act import Act
from app.record.chain import verify_chain
from ctcore.job import Job, Reading

MakeAct = Callable[..., Act]
MakeReading = Callable[..., Reading]


def test_a_new_state_is_stored_with_its_event(filled: Store, act: MakeAct) -> None:
    receipt = filled.append("j1", act("handed in"), state="handed_in")
    assert (filled.load("j1").state, receipt.event.content) == ("handed_in", {"state": "handed_in"})


def test_the_event_names_the_job_and_keeps_the_act(filled: Store, act: MakeAct) -> None:
    entered = act(to="265.2")
    event = filled.append("j1", entered).event
    assert event.act == dataclasses.replace(entered, where={"row": "7", "job_id": "j1"})
    assert filled.events("j1")[-1] == event


def test_the_events_form_one_chain_over_all_jobs(filled: Store, job: Job, act: MakeAct) -> None:
    filled.create(dataclasses.replace(job, job_id="j2"), act("job made"))
    filled.append("j1", act())
    assert verify_chain(filled.events(), filled.heads()[0]) is None
    assert [event.n for event in filled.events("j1")] == [1, 3]


def test_two_devices_have_a_chain_each_in_one_store(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading
) -> None:
    filled.append("j1", act(), readings=[reading()])
    filled.close()
    with closing(Store.open(path, device_id="d2")) as other:
        receipt = other.append("j1", act(), readings=[reading()])
        heads, events = other.heads(), other.events()
        assert other.faults() == []
    assert (receipt.readings[0].device_id, receipt.readings[0].device_seq) == ("d2", 1)
    assert [(head.device_id, head.n) for head in heads] == [("d1", 2), ("d2", 1)]
    assert verify_chain(events[:2], heads[0]) is None
    assert verify_chain(events[2:], heads[1]) is None


def test_a_fork_in_a_chain_is_refused_by_the_table_itself(filled: Store, path: Path) -> None:
    filled.close()
    with closing(sqlite3.connect(path)) as raw, pytest.raises(sqlite3.IntegrityError, match="UNIQUE"):
        raw.execute(
            "INSERT INTO event SELECT device_id, n + 7, prev, digest, head, job_id, kind, person_id, at_utc,"
            " body FROM event"
        )


@pytest.mark.parametrize("table", ["event", "reading", "revision"])
@pytest.mark.parametrize("words", ["UPDATE {} SET event_n = 1", "DELETE FROM {}"])
def test_rows_that_are_only_ever_added_cannot_be_changed_or_deleted(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading, table: str, words: str
) -> None:
    filled.append("j1", act(), readings=[reading()])
    filled.freeze("j1", b"{}", act(), revision=1, state="approved")
    filled.close()
    statement = words.format(table).replace("event SET event_n", "event SET n")
    with (
        closing(sqlite3.connect(path)) as raw,
        pytest.raises(sqlite3.IntegrityError, match="only ever added"),
    ):
        raw.execute(statement)
