"""Leads ticked as they are landed."""

from __future__ import annotations

import pytest

from app.desk import Desk, Refusal
from app.desk.landing import Hookup, hookup_of
from app.jobstore import Store
from app.record.revision import from_bytes
from ctcore.job import places
from tests.app.desk.making import complete_job


def hookup(desk: Desk, job_id: str, index: int = 0, procedure_id: str = "excitation") -> Hookup:
    job = desk.view(job_id).job
    return hookup_of(job, places(job)[index].core.core_id, procedure_id)


def tick(desk: Desk, job_id: str, at: int = 0) -> None:
    its = hookup(desk, job_id)
    desk.tick_lead(job_id, its.core_id, its.procedure_id, its.leads[at].lead)


def test_a_ticked_lead_says_who_landed_it_and_when(desk: Desk, job_id: str) -> None:
    tick(desk, job_id)
    landing = hookup(desk, job_id).leads[0].landing

    assert landing is not None
    assert landing.text == "test instruments to earth bar"
    assert landing.person_id == desk.settings.me()[0]
    assert landing.at_utc.endswith("Z")


def test_the_next_core_begins_with_the_same_list_and_nothing_ticked(desk: Desk, job_id: str) -> None:
    tick(desk, job_id)
    sister = next(
        index
        for index, place in enumerate(places(desk.view(job_id).job))
        if place.core.number == 1 and index > 0
    )
    other = hookup(desk, job_id, sister)

    assert [line.lead for line in other.leads] == [line.lead for line in hookup(desk, job_id).leads]
    assert (hookup(desk, job_id).landed_count, other.landed_count) == (1, 0)
    assert hookup(desk, job_id, 0, "resistance").landed_count == 0


def test_ticking_again_takes_the_lead_off_and_the_trail_has_both(desk: Desk, job_id: str) -> None:
    tick(desk, job_id)
    tick(desk, job_id)
    lines = desk.trail(job_id, hookup(desk, job_id).core_id)[-2:]

    assert hookup(desk, job_id).landed_count == 0
    assert [line.what_text for line in lines] == ["lead ticked as landed", "lead taken off"]
    assert lines[0].to_text == lines[1].from_text == "test instruments to earth bar"


def test_undo_and_redo_of_a_tick(desk: Desk, job_id: str) -> None:
    tick(desk, job_id)
    desk.undo(job_id)
    assert hookup(desk, job_id).landed_count == 0
    desk.redo(job_id)
    assert hookup(desk, job_id).landed_count == 1


def test_ticks_are_in_the_store(desk: Desk, job_id: str) -> None:
    tick(desk, job_id, 1)
    desk.close_job(job_id)

    assert [line.landing is not None for line in hookup(desk, job_id).leads][:3] == [False, True, False]


def test_a_frozen_job_keeps_its_ticks_in_the_record_and_takes_no_other(desk: Desk, store: Store) -> None:
    job_id = complete_job(desk)
    tick(desk, job_id)
    desk.freeze(job_id, "I tested this.")

    record = from_bytes(store.revisions(job_id)[-1].record_bytes)
    assert record.job.landings == desk.view(job_id).job.landings != ()
    with pytest.raises(Refusal):
        tick(desk, job_id, 1)


def test_a_core_that_is_gone_takes_no_tick(desk: Desk, job_id: str) -> None:
    lead = hookup(desk, job_id).leads[0].lead

    with pytest.raises(Refusal, match="no such core"):
        desk.tick_lead(job_id, "nobody", "excitation", lead)
