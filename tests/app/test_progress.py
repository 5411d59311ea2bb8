"""Long work told step by step, and stopped only where nothing of it is written yet."""

from __future__ import annotations

import dataclasses

import pytest

from app import progress
from app.desk import Desk
from app.jobstore import Store
from app.progress import Stopped, Work, each, under, write_whole
from app.report.sheet import render
from app.settings import Settings
from ctcore.job import Header


@pytest.fixture
def desk(tmp_path):
    store = Store.open(tmp_path / "store.sqlite")
    settings = Settings.load(tmp_path)
    settings.change(person_name_text="J. Velde", organisation_text="Tarnbeck Test Services")
    yield Desk(store, settings)
    store.close()


def job_with_two_sets(desk) -> str:
    job_id = desk.new_job(Header(number_text="J-1")).view.job.job_id
    desk.add_position(job_id, "S1", core_classes=("5P20 15 VA",))
    desk.add_position(job_id, "S2", core_classes=("5P20 15 VA",))
    return job_id


def stopped() -> Work:
    work = Work(lambda *_told: None)
    work.stop()
    return work


def test_the_items_come_plainly_where_nobody_watches():
    assert list(each("abc", "page")) == ["a", "b", "c"]


def test_each_step_is_told_and_a_quick_one_only_now_and_then():
    told = []
    with under(Work(lambda *step: told.append(step))):
        assert list(each("ab", "page")) == ["a", "b"]
    assert told == [(0, 2, "page")]


def test_a_stop_ends_it_at_the_next_step():
    with pytest.raises(Stopped, match="Nothing of it was written"), under(stopped()):
        list(each("abc", "page"))


def test_what_is_being_written_is_not_stopped():
    work = Work(lambda *_told: None)
    with under(work):
        write_whole()
        work.stop()
        assert list(each("ab", "page")) == ["a", "b"]


def test_the_work_is_over_with_its_block():
    with under(stopped()):
        pass
    assert list(progress.each("a", "page")) == ["a"]


def test_a_sheet_is_told_page_by_page_and_stopped_between_them(desk):
    made = desk.sheet_input(job_with_two_sets(desk))
    told = []
    with under(Work(lambda *step: told.append(step))):
        render(made)
    assert told[0][0] == 0
    assert told[0][1] >= 2
    with pytest.raises(Stopped), under(stopped()):
        render(made)


def test_a_list_of_plates_that_is_stopped_changes_nothing(desk):
    job_id = job_with_two_sets(desk)
    before = desk.view(job_id)
    positions = [dataclasses.replace(one, name_text=f"{one.name_text} more") for one in before.job.positions]
    with pytest.raises(Stopped), under(stopped()):
        desk.add_plates(job_id, positions)
    after = desk.view(job_id)
    assert (after.job.positions, after.can_undo_text) == (before.job.positions, before.can_undo_text)


def test_a_job_file_that_is_stopped_brings_no_job(desk, tmp_path):
    job_id = job_with_two_sets(desk)
    path = desk.export_job(job_id, tmp_path / "job.json")
    (tmp_path / "other").mkdir()
    store = Store.open(tmp_path / "other" / "store.sqlite")
    other = Desk(store, Settings.load(tmp_path / "other"))
    with pytest.raises(Stopped), under(stopped()):
        other.take_in(path)
    assert other.jobs() == []
    other.take_in(path)
    assert [line.job_id for line in other.jobs()] == [job_id]
    store.close()


def test_work_that_looks_itself_is_told_of_after_it_was_stopped():
    told: list[tuple[int, int, str]] = []
    work = Work(lambda *step: told.append(step))
    with under(work):
        assert progress.in_hand() is work
        work.stop()
        work.told(2, 2, "record")
    assert told == [(2, 2, "record")]
    assert progress.in_hand() is None
