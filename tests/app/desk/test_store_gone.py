from __future__ import annotations

import shutil
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from app.desk import Desk, Refusal
from app.desk.copies import CopyKeeper
from app.desk.seen import Memory
from app.desk.store_gone import demand_store, recover
from app.jobstore import Missing, Store
from app.settings import Settings, profile_folder
from ctcore.job import Header
from tests.app.desk.making import MORNING, Clock


@pytest.fixture
def home(tmp_path: Path) -> Settings:
    settings = Settings.load(tmp_path / "home")
    settings.change(person_id="p1", person_name_text="T. Adder")
    with closing(Store.open(settings.store_path)) as store:
        Desk(store, settings, clock=Clock()).new_job(Header(number_text="77"))
        Memory(profile_folder(settings.folder)).keep_heads(store.heads(), MORNING)
    return settings


@pytest.fixture
def copied(home: Settings) -> CopyKeeper:
    keeper = CopyKeeper(home, clock=Clock(MORNING + timedelta(hours=2)))
    keeper.make()
    return keeper


def test_nothing_is_said_of_a_store_that_is_there_nor_where_none_ever_was(
    copied: CopyKeeper, home: Settings, tmp_path: Path
) -> None:
    assert demand_store(home) == ""
    assert demand_store(Settings.load(tmp_path / "never")) == ""


@pytest.mark.parametrize(("emptied", "words"), [(False, "is not there"), (True, "is empty")])
def test_a_store_deleted_or_emptied_is_told_with_its_newest_copy_and_none_is_begun(
    copied: CopyKeeper, home: Settings, emptied: bool, words: str
) -> None:
    home.store_path.unlink()
    if emptied:
        home.store_path.touch()
    with pytest.raises(
        Missing, match=rf"^Nothing was changed\. .*{words}\. The newest copy .* of 4 May 2031"
    ):
        demand_store(home)
    assert home.store_path.exists() == emptied


def test_the_newest_copy_is_brought_back_and_worked_on_with_its_jobs(
    copied: CopyKeeper, home: Settings
) -> None:
    home.store_path.unlink()
    said = recover(home)
    assert "What was entered after it is not in it." in said
    assert home.store_path.name.startswith("store-brought-back-")
    with closing(Store.open(home.store_path)) as store:
        assert [line.number_text for line in store.jobs()] == ["77"]
    assert demand_store(home) == ""


def test_a_journal_that_a_deleted_store_left_is_not_played_into_the_copy(
    copied: CopyKeeper, home: Settings
) -> None:
    home.store_path.unlink()
    home.store_path.with_name("store.sqlite-journal").write_bytes(b"left behind" * 500)
    with pytest.raises(Missing):
        demand_store(home)
    recover(home)
    with closing(Store.open(home.store_path)) as store:
        assert store.faults() == []


def test_the_store_of_another_computer_on_a_shared_stick_is_not_brought_back(
    copied: CopyKeeper, home: Settings, tmp_path: Path
) -> None:
    stick, other = tmp_path / "stick", Settings.load(tmp_path / "other")
    stick.mkdir()
    other.change(copies_folder_text=str(stick), person_id="p2", person_name_text="B. Other")
    with closing(Store.open(other.store_path)) as store:
        for number in ("1", "2", "3"):
            Desk(store, other, clock=Clock()).new_job(Header(number_text=number))
    CopyKeeper(other, clock=Clock(MORNING + timedelta(days=1))).make()
    home.change(copies_folder_text=str(stick))
    home.store_path.unlink()
    recover(home)
    with closing(Store.open(home.store_path)) as store:
        assert [line.number_text for line in store.jobs()] == ["77"]


def test_without_a_copy_it_is_said_that_a_store_was_seen_here(home: Settings) -> None:
    home.store_path.unlink()
    assert demand_store(home).startswith("The store store.sqlite that was seen here on 4 May 2031 08:00:00")


def test_where_no_copy_is_there_any_more_nothing_is_brought_back(copied: CopyKeeper, home: Settings) -> None:
    home.store_path.unlink()
    shutil.rmtree(home.folder / "copies")
    with pytest.raises(Refusal, match="There is no copy to bring back"):
        recover(home)
