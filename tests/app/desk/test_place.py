"""Everything is moved to another folder whole, or stays where it was; what was there is kept either way."""

from __future__ import annotations

import errno
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest

from app import place, progress
from app.desk import Desk, Refusal
from app.desk import place as verbs
from app.jobstore import Store, StoreProblem
from app.progress import Stopped, Work, under
from app.record.copying import digest_of
from app.settings import Settings
from ctcore.job import Header
from tests.app.desk.making import complete_job

SHEET = Path(__file__).parents[2] / "specimens" / "sheet_form_1.pdf"
LONG = "bay 14 \N{CLOSED LOCK WITH KEY}\N{HIGH VOLTAGE SIGN} with spaces and more " + "x" * 160


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("CORELEAF_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def settings(home: Path) -> Settings:
    loaded = Settings.load(place.data_folder())
    loaded.change(person_id="p1", person_name_text="T. Adder")
    return loaded


@pytest.fixture
def store(settings: Settings) -> Iterator[Store]:
    opened = Store.open(settings.store_path)
    yield opened
    opened.close()


@pytest.fixture
def desk(store: Store, settings: Settings) -> Desk:
    made = Desk(store, settings)
    job_id = complete_job(made)
    made.attach(job_id, SHEET)
    made.make_key("four quiet words here")
    return made


def content(folder: Path) -> dict[str, str]:
    """Every file that stays, with its digest."""
    return {str(one): digest_of(folder / one) for one in verbs._files(folder)}


# Moved


@pytest.mark.parametrize(
    "name", ["elsewhere", "two/folders down", LONG], ids=["plain", "deep", "200 characters"]
)
def test_everything_is_copied_to_the_byte_and_then_used(
    settings: Settings, store: Store, desk: Desk, home: Path, tmp_path: Path, name: str
) -> None:
    before = content(home)
    said = verbs.move(settings, tmp_path / name, store)

    assert said.startswith(f"{len(before)} files were copied to {tmp_path / name} and read again")
    assert f"What was in {home} is kept there" in said
    assert content(tmp_path / name) == before == content(home)
    assert place.data_folder() == settings.folder == tmp_path / name


def test_the_job_and_its_key_are_there_after_the_move(
    settings: Settings, store: Store, desk: Desk, tmp_path: Path
) -> None:
    heads = store.heads()
    verbs.move(settings, tmp_path / "elsewhere", store)
    moved = Settings.load(place.data_folder())
    opened = Store.open(moved.store_path)
    there = Desk(opened, moved)
    found = ([line.number_text for line in there.jobs()], opened.heads(), opened.faults(), there.my_key())
    opened.close()

    assert found[:3] == (["77"], heads, [])
    assert found[3] is not None
    assert moved.get("person_name_text") == "T. Adder"


def test_the_store_before_the_move_is_whole_and_not_gone_on_with(
    settings: Settings, store: Store, desk: Desk, home: Path, tmp_path: Path
) -> None:
    verbs.move(settings, tmp_path / "elsewhere", store)
    store.close()
    again = Settings.load(place.data_folder())
    moved = Store.open(again.store_path)
    Desk(moved, again).new_job(Header(number_text="78"))
    moved.close()
    old = Store.open(home / "store.sqlite", read_only=True)
    numbers = [line.number_text for line in old.jobs()]
    old.close()

    assert numbers == ["77"]


def test_a_move_that_is_stopped_takes_away_what_it_copied(
    settings: Settings, store: Store, desk: Desk, home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(progress, "_TELL_EVERY_S", 0.0)
    work = Work(lambda done, _count, _unit: work.stop() if done == 2 else None)
    with pytest.raises(Stopped), under(work):
        verbs.move(settings, tmp_path / "elsewhere", store)
    assert not (tmp_path / "elsewhere").exists()
    assert place.data_folder() == settings.folder == home


def test_data_is_moved_twice_and_the_signpost_leads_to_the_last(
    settings: Settings, store: Store, desk: Desk, home: Path, tmp_path: Path
) -> None:
    verbs.move(settings, tmp_path / "first", store)
    store.close()
    second = Settings.load(place.data_folder())
    verbs.move(second, tmp_path / "second", None)

    assert place.data_folder() == tmp_path / "second"
    assert content(tmp_path / "second") == content(tmp_path / "first")


def test_a_folder_without_a_store_yet_is_moved_with_its_preferences(
    settings: Settings, tmp_path: Path
) -> None:
    verbs.move(settings, tmp_path / "elsewhere", None)

    assert Settings.load(place.data_folder()).get("person_name_text") == "T. Adder"


# Refused


def refused(settings: Settings, target: Path, store: Store | None = None) -> str:
    with pytest.raises(Refusal) as caught:
        verbs.move(settings, target, store)
    assert place.data_folder() == settings.folder
    return caught.value.sentence


def a_file(room: Path) -> Path:
    (room / "file").write_bytes(b"mine")
    return room / "file"


def a_full_folder(room: Path) -> Path:
    (room / "other").mkdir()
    (room / "other" / "mine.txt").write_bytes(b"mine")
    return room / "other"


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda room: room / "home", "it lies within the present one, or holds it"),
        (lambda room: room / "home" / "inner", "it lies within the present one, or holds it"),
        (lambda room: room, "it lies within the present one, or holds it"),
        (a_file, "it is a file"),
        (a_full_folder, "it holds something already"),
    ],
)
def test_a_folder_that_cannot_take_data_is_refused_and_left_as_it_is(
    settings: Settings, tmp_path: Path, make: Callable[[Path], Path], why: str
) -> None:
    target = make(tmp_path)
    before = content(tmp_path)
    said = refused(settings, target)

    assert said.startswith(f"Everything is where it was. Data was not moved to {target}: {why}; choose ")
    assert content(tmp_path) == before


def test_a_full_disk_is_refused_before_anything_is_copied(
    settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _path: SimpleNamespace(free=5_000_000))

    assert "its disk has 5 MB free, and 100 MB are wanted" in refused(settings, tmp_path / "elsewhere")
    assert not (tmp_path / "elsewhere").exists()


def test_a_read_only_place_is_refused_with_the_words_of_the_system(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Assumption: this folder of the system takes no files, whoever asks; it says that it has no room either.
    monkeypatch.setattr(shutil, "disk_usage", lambda _path: SimpleNamespace(free=10**12))

    assert "could not be copied" in refused(settings, Path("/proc/coreleaf"))


def test_a_disk_that_fills_while_it_is_copied_to_leaves_everything_as_it_was(
    settings: Settings, store: Store, desk: Desk, home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = content(home)

    def full(*_arguments: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("app.record.copying.shutil.copyfileobj", full)
    said = refused(settings, tmp_path / "elsewhere", store)

    assert "it could not be copied (No space left on device)" in said
    assert not (tmp_path / "elsewhere").exists()
    assert content(home) == before


def test_a_copy_that_does_not_read_back_is_not_used(
    settings: Settings, store: Store, desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "app.record.copying.shutil.copyfileobj", lambda _from, to, _size: to.write(b"spoiled")
    )

    assert "did not read back as it was" in refused(settings, tmp_path / "elsewhere", store)


def test_a_store_that_ends_elsewhere_than_the_one_in_use_is_not_used(
    settings: Settings, store: Store, desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(verbs, "heads_of", lambda _path: {})
    (tmp_path / "elsewhere").mkdir()
    said = refused(settings, tmp_path / "elsewhere", store)

    assert "its trail does not end where that of the store does" in said
    assert list((tmp_path / "elsewhere").iterdir()) == []


def test_a_window_that_only_looks_moves_nothing(
    settings: Settings, store: Store, desk: Desk, tmp_path: Path
) -> None:
    second = Store.open(settings.store_path)
    said = refused(settings, tmp_path / "elsewhere", second)
    second.close()

    assert said.startswith("Nothing was moved. This store is already open in another window")


def test_a_sample_and_training_stay_where_they_are(tmp_path: Path, home: Path) -> None:
    sample = Settings.load(tmp_path / "sample")

    with pytest.raises(Refusal, match="stays where it is"):
        verbs.move(sample, tmp_path / "elsewhere", None)
    assert verbs.view(sample).fixed_text.startswith("This folder belongs to a sample")


def test_a_shared_folder_is_moved_to_after_a_warning(
    settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "kept alike on several computers" in verbs.look_at(settings, tmp_path / "Sync" / "data")
    verbs.move(settings, tmp_path / "Sync" / "data", None)

    assert "kept alike on several computers" in verbs.view(settings).warning_text


# Shown, and not there


def test_every_kind_of_data_is_shown_with_its_path(
    settings: Settings, store: Store, desk: Desk, home: Path
) -> None:
    shown = {line.what: (line.path.name, line.there) for line in verbs.view(settings).lines}

    assert shown["store"] == ("store.sqlite", True)
    assert shown["attached"] == ("store.sqlite.attachments", True)
    assert shown["keys"] == ("keys", True)
    assert shown["settings"] == ("settings.json", True)
    assert shown["copies"] == ("copies", False)
    assert {"log", "trust", "profile", "office"} <= set(shown)
    assert "copies_away" not in shown


def test_the_folder_before_is_named_after_a_move(settings: Settings, home: Path, tmp_path: Path) -> None:
    assert verbs.view(settings).before_text == ""
    verbs.move(settings, tmp_path / "elsewhere", None)

    assert verbs.view(settings).before_text == str(home)


@pytest.mark.parametrize("spoil", [b"", None], ids=["empty signpost", "folder gone"])
def test_where_the_folder_is_gone_nothing_is_begun_anew(
    settings: Settings, home: Path, tmp_path: Path, spoil: bytes | None
) -> None:
    verbs.move(settings, tmp_path / "stick", None)
    shutil.rmtree(tmp_path / "stick")
    signpost = home / place.SIGNPOST
    signpost.write_bytes(signpost.read_bytes() if spoil is None else spoil)

    with pytest.raises(StoreProblem, match="connect the device that it lies on"):
        verbs.demand_there(place.data_folder())
    with pytest.raises(OSError, match="Nothing was changed"):
        Settings.load(place.data_folder()).change(paper="Letter")
    assert not (tmp_path / "stick").exists()


def test_an_empty_folder_in_the_place_of_the_device_is_not_taken_for_it(
    settings: Settings, tmp_path: Path
) -> None:
    verbs.move(settings, tmp_path / "stick", None)
    shutil.rmtree(tmp_path / "stick")
    (tmp_path / "stick" / "log").mkdir(parents=True)

    with pytest.raises(StoreProblem, match="connect the device that it lies on"):
        verbs.demand_there(place.data_folder())


def test_the_lock_and_the_reserve_of_one_run_are_not_taken_along(
    settings: Settings, store: Store, desk: Desk, tmp_path: Path
) -> None:
    verbs.move(settings, tmp_path / "elsewhere", store)
    taken = {path.name for path in (tmp_path / "elsewhere").iterdir()}

    assert "store.sqlite" in taken
    assert not {name for name in taken if name.endswith((".lock", ".reserve"))}
