from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import Connection

from app.desk import Desk, Refusal
from app.desk.copies import CopyKeeper, ago, compared
from app.desk.seen import Memory, not_as_seen
from app.jobstore import Store, StoreProblem, copies, migrate
from app.jobstore.attachments import path_of
from app.settings import Settings, profile_folder
from ctcore.job import Header
from tests.app.desk.making import MORNING, Clock


@pytest.fixture
def home(tmp_path: Path) -> Settings:
    settings = Settings.load(tmp_path / "home")
    settings.change(person_id="p1", person_name_text="T. Adder")
    return settings


@pytest.fixture
def at_home(home: Settings) -> Iterator[Desk]:
    store = Store.open(home.store_path)
    yield Desk(store, home, clock=Clock())
    store.close()


@pytest.fixture
def keeper(home: Settings) -> CopyKeeper:
    return CopyKeeper(home, clock=Clock(MORNING + timedelta(days=1)))


@pytest.fixture
def elsewhere(home: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A second folder, as if it lay on a stick."""
    stick = tmp_path / "stick"
    stick.mkdir()
    home.change(copies_folder_text=str(stick))
    monkeypatch.setattr(CopyKeeper, "_is_away", lambda _keeper, path: stick in path.parents)
    return stick


def test_a_copy_is_due_until_it_is_made_and_again_after_an_entry(at_home: Desk, keeper: CopyKeeper) -> None:
    at_home.new_job(Header(number_text="77"))
    assert keeper.due()
    view = keeper.make()
    assert (len(view.lines), view.last_text, view.trouble_text) == (1, "08:00", "")
    assert not keeper.due()
    at_home.new_job(Header(number_text="78"))
    assert keeper.due()


def test_a_copy_beside_the_store_is_not_one_on_another_device(at_home: Desk, keeper: CopyKeeper) -> None:
    at_home.new_job(Header(number_text="77"))
    view = keeper.make()
    assert (view.lines[0].away, view.away_text, view.overdue) == (False, "", True)


def test_a_copy_on_another_device_is_overdue_after_seven_days(
    at_home: Desk, keeper: CopyKeeper, elsewhere: Path, home: Settings
) -> None:
    at_home.new_job(Header(number_text="77"))
    view = keeper.make()
    assert [line.away for line in view.lines] == [True, False]
    assert (view.away_text, view.overdue) == ("within the hour", False)
    shutil.rmtree(elsewhere)
    later = CopyKeeper(home, clock=Clock(MORNING + timedelta(days=8, hours=1)))
    assert (later.view().away_text, later.view().overdue) == ("7 days ago", True)


def test_a_device_that_is_not_there_is_told_and_the_copy_beside_the_store_is_made(
    at_home: Desk, keeper: CopyKeeper, elsewhere: Path
) -> None:
    elsewhere.rmdir()
    at_home.new_job(Header(number_text="77"))
    view = keeper.make()
    assert view.trouble_text.startswith("Everything saved is in the store. No copy was made in")
    assert "connect the device" in view.trouble_text
    assert [line.away for line in view.lines] == [False]
    assert not elsewhere.exists()


def test_a_device_connected_later_gets_the_copy_that_it_missed_and_no_other(
    at_home: Desk, keeper: CopyKeeper, elsewhere: Path
) -> None:
    elsewhere.rmdir()
    at_home.new_job(Header(number_text="77"))
    keeper.make()
    assert (keeper.away_there(), keeper.catch_up(), keeper.due()) == (False, None, False)
    elsewhere.mkdir()
    assert (keeper.away_there(), keeper.due()) == (True, True)
    view = keeper.catch_up()
    assert view is not None
    assert [line.away for line in view.lines] == [True, False]
    assert (keeper.catch_up(), keeper.due()) == (None, False)


def test_what_is_keyed_since_the_last_copy_is_no_reason_to_copy_to_a_device_again(
    at_home: Desk, keeper: CopyKeeper, elsewhere: Path
) -> None:
    at_home.new_job(Header(number_text="77"))
    keeper.make()
    at_home.new_job(Header(number_text="78"))
    assert keeper.catch_up() is None
    keeper.make_due()
    assert [len(copies.copies_in(place)) for place in sorted(elsewhere.glob("*"))] == [2]


def test_a_device_connected_later_makes_no_further_copy_beside_the_store(
    at_home: Desk, keeper: CopyKeeper, elsewhere: Path, home: Settings
) -> None:
    elsewhere.rmdir()
    at_home.new_job(Header(number_text="77"))
    keeper.make()
    elsewhere.mkdir()
    keeper.make_due()
    assert [len(copies.copies_in(place)) for place in (home.folder / "copies").glob("*")] == [1]


def test_the_newest_copy_is_the_one_that_goes_furthest_whatever_the_clock_said(
    at_home: Desk, home: Settings
) -> None:
    at_home.new_job(Header(number_text="77"))
    CopyKeeper(home, clock=Clock(MORNING.replace(year=2100))).make()
    at_home.new_job(Header(number_text="78"))
    keeper = CopyKeeper(home, clock=Clock(MORNING))
    keeper.make()
    newest = keeper.newest()
    assert newest is not None
    assert "2031" in newest.when_text
    assert not keeper.due()


@pytest.fixture
def newer_program(monkeypatch: pytest.MonkeyPatch) -> None:
    """This program as it would be with one more step, which adds a column."""

    def step(connection: Connection) -> None:
        connection.exec_driver_sql("ALTER TABLE job ADD COLUMN region_text TEXT")
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '0002'")

    monkeypatch.setattr(migrate, "HEAD_REVISION", "0002")
    monkeypatch.setattr(migrate, "known_revisions", lambda: frozenset({"0001", "0002"}))
    monkeypatch.setattr(migrate, "run_steps", step)


def test_before_an_upgrade_a_copy_of_the_old_form_is_made_and_checked_in_every_place(
    at_home: Desk, keeper: CopyKeeper, elsewhere: Path, home: Settings, request: pytest.FixtureRequest
) -> None:
    at_home.new_job(Header(number_text="77"))
    at_home.store.close()
    request.getfixturevalue("newer_program")
    with closing(Store.open(home.store_path, before_upgrade=keeper.make_before_upgrade)) as store:
        assert [line.number_text for line in store.jobs()] == ["77"]
    kept = [line.path for line in keeper.view().lines]
    assert [migrate.revision_of(path, read_only=True) for path in kept] == ["0001", "0001"]
    assert not list(home.folder.glob("*.backup"))
    restored = compared(None, keeper.bring_back(kept[0])).restored
    assert restored.jobs_count == 1


def test_without_a_copy_that_passes_a_store_is_not_brought_up(
    at_home: Desk,
    keeper: CopyKeeper,
    home: Settings,
    monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
) -> None:
    at_home.new_job(Header(number_text="77"))
    at_home.store.close()
    before = home.store_path.read_bytes()
    request.getfixturevalue("newer_program")
    monkeypatch.setattr(keeper, "_look_at", lambda _store: ["a page is torn."])
    with pytest.raises(StoreProblem, match=r"left exactly as it was\. Before .* a page is torn\."):
        Store.open(home.store_path, before_upgrade=keeper.make_before_upgrade)
    assert home.store_path.read_bytes() == before
    assert keeper.newest() is None


def test_a_store_that_was_never_made_has_no_copy(keeper: CopyKeeper) -> None:
    assert keeper.make().lines == ()
    assert keeper.newest() is None


def test_a_copy_of_a_signed_job_is_checked_with_its_signatures(
    issued: Path, approver: object, tmp_path: Path
) -> None:
    settings = Settings.load(tmp_path / "office" / "settings")
    settings.folder.joinpath("store.sqlite").symlink_to(tmp_path / "office" / "jobs.coreleaf")
    store = settings.folder / "store.sqlite"
    shutil.copytree(tmp_path / "office" / "jobs.coreleaf.attachments", f"{store}.attachments")
    keeper = CopyKeeper(settings, clock=Clock())
    assert (keeper.make().trouble_text, len(keeper.view().lines)) == ("", 1)
    with closing(sqlite3.connect(store)) as raw:
        (digest,) = raw.execute("SELECT digest FROM attachment WHERE media_type LIKE '%zip'").fetchone()
    path_of(store, digest).unlink()
    shutil.rmtree(settings.folder / "copies")
    view = keeper.make()
    assert view.lines == ()
    assert "missing from the folder" in view.trouble_text


def test_what_is_brought_back_stands_beside_what_is_there(
    at_home: Desk, keeper: CopyKeeper, home: Settings
) -> None:
    at_home.new_job(Header(number_text="77"))
    (line,) = keeper.make().lines
    at_home.new_job(Header(number_text="78"))
    before = home.store_path.read_bytes()
    path = keeper.bring_back(line.path)
    found = compared(at_home.store, path)
    assert found.present is not None
    assert (found.present.jobs_count, found.restored.jobs_count) == (2, 1)
    assert found.present.only_here_text.startswith("1 entry that the other lacks, the last of 4 May 2031")
    assert found.present.only_here_text.endswith("; in job 78.")
    assert found.restored.only_here_text == "Nothing that the other lacks."
    assert found.present.head_text != found.restored.head_text
    assert (path.parent, home.store_path.read_bytes()) == (home.folder, before)


def test_two_stores_that_parted_each_have_something_that_the_other_lacks(
    at_home: Desk, keeper: CopyKeeper, home: Settings
) -> None:
    made = at_home.new_job(Header(number_text="77")).view.job.job_id
    path = keeper.bring_back(keeper.make().lines[0].path)
    at_home.remark(made, "", "", "Terminal loose.")
    with closing(Store.open(path)) as other:
        Desk(other, home, clock=Clock()).remark(made, "", "", "Terminal tight.")
    found = compared(at_home.store, path)
    assert found.present is not None
    assert "1 entry that the other lacks" in found.present.only_here_text
    assert "1 entry that the other lacks" in found.restored.only_here_text


def test_the_one_brought_back_is_worked_on_and_the_one_before_is_kept(
    at_home: Desk, keeper: CopyKeeper, home: Settings
) -> None:
    at_home.new_job(Header(number_text="77"))
    path = keeper.bring_back(keeper.make().lines[0].path)
    at_home.new_job(Header(number_text="78"))
    Memory(profile_folder(home.folder)).keep_heads(at_home.store.heads(), MORNING)
    said = keeper.work_with(path)
    at_home.store.close()
    assert said == f"{path.name} is worked on from now on. The one before is kept as store.sqlite."
    assert Settings.load(home.folder).store_path == path
    assert (home.folder / "store.sqlite").exists()
    with closing(Store.open(path)) as store:
        assert [line.number_text for line in store.jobs()] == ["77"]
        assert not_as_seen(store, Memory(profile_folder(home.folder))) == ""


def test_only_a_store_that_lies_beside_is_worked_on(keeper: CopyKeeper, tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="does not lie beside the store"):
        keeper.work_with(tmp_path / "stranger.sqlite")


def test_a_copy_on_a_device_that_is_gone_is_not_brought_back(keeper: CopyKeeper, tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="Connect the device"):
        keeper.bring_back(tmp_path / "gone.sqlite")


def test_beside_a_store_that_cannot_be_read_the_copy_stands_alone(
    at_home: Desk, keeper: CopyKeeper, home: Settings
) -> None:
    at_home.new_job(Header(number_text="77"))
    keeper.make()
    at_home.store.close()
    home.store_path.write_bytes(b"rotten" * 5000)
    newest = keeper.newest()
    assert newest is not None
    found = compared(None, keeper.bring_back(newest.path))
    assert (found.present, found.restored.jobs_count) == (None, 1)


def test_an_older_store_put_back_is_noticed(at_home: Desk, home: Settings, tmp_path: Path) -> None:
    at_home.new_job(Header(number_text="77"))
    old = tmp_path / "old.sqlite"
    with closing(sqlite3.connect(home.store_path)) as raw:
        raw.execute("VACUUM INTO ?", (str(old),))
    made = at_home.new_job(Header(number_text="78")).view.job.job_id
    memory = Memory(profile_folder(home.folder))
    memory.keep_heads(at_home.store.heads(), MORNING)
    assert not_as_seen(at_home.store, memory) == ""
    with closing(Store.open(old)) as store:
        assert not_as_seen(store, memory) == (
            "Nothing was changed. This store is older than one seen here on 4 May 2031 08:00:00 +00:00: it "
            "ends at entry 1, and 2 were there. Look at the copies before you go on with it."
        )
        other = Desk(store, home, clock=Clock())
        job_id = store.jobs()[0].job_id
        other.remark(job_id, "", "", "One.")
        other.remark(job_id, "", "", "Two.")
        assert "went another way than the one seen here on 4 May" in not_as_seen(store, memory)
    at_home.remark(made, "", "", "More.")
    assert not_as_seen(at_home.store, memory) == ""


def test_an_empty_store_in_the_place_of_one_that_was_full_is_noticed(
    at_home: Desk, home: Settings, tmp_path: Path
) -> None:
    at_home.new_job(Header(number_text="77"))
    memory = Memory(profile_folder(home.folder))
    memory.keep_heads(at_home.store.heads(), MORNING)
    with closing(Store.open(tmp_path / "empty", device_id=at_home.store.device_id)) as empty:
        assert "it ends at entry 0, and 1 were there" in not_as_seen(empty, memory)


@pytest.mark.parametrize("spoiled", ["", "[]", '{"heads": 1}', '{"heads": {"d1": {"n": "x"}}, "copied": {}}'])
def test_a_memory_that_cannot_be_read_is_empty(tmp_path: Path, spoiled: str) -> None:
    (tmp_path / "seen.json").write_text(spoiled)
    memory = Memory(tmp_path)
    assert (memory.head("d1"), memory.copied_at("d1", "copied")) == (None, None)
    memory.keep_copied("d1", "copied", MORNING)
    assert memory.copied_at("d1", "copied") == MORNING


def test_a_copy_that_cannot_be_read_is_due_again(
    at_home: Desk, keeper: CopyKeeper, monkeypatch: pytest.MonkeyPatch
) -> None:
    at_home.new_job(Header(number_text="77"))
    (line,) = keeper.make().lines
    line.path.write_bytes(b"rotten" * 5000)
    assert keeper.due()
    with pytest.raises(StoreProblem, match="can't be read"):
        copies.heads_of(line.path)


@pytest.mark.parametrize(
    ("hours", "words"),
    [(0.5, "within the hour"), (1, "1 hour ago"), (47, "47 hours ago"), (48, "2 days ago")],
)
def test_how_long_ago_is_said_in_words(hours: float, words: str) -> None:
    assert ago(timedelta(hours=hours)) == words
