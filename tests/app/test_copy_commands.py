"""The verbs of the copies on the command line, over a data folder of their own."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from app import commands
from app.desk import Desk
from app.jobstore import Store
from app.settings import Settings
from ctcore.job import Header


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Settings:
    monkeypatch.setenv("CORELEAF_HOME", str(tmp_path / "home"))
    settings = Settings.load(tmp_path / "home")
    settings.change(person_id="p1", person_name_text="T. Adder")
    return settings


def enter(home: Settings, number_text: str) -> None:
    with closing(Store.open(home.store_path)) as store:
        Desk(store, home).new_job(Header(number_text=number_text))


def the_copy(home: Settings) -> Path:
    return next(home.folder.glob("copies/*/*.sqlite"))


def test_a_copy_is_made_and_said_where_it_lies(home: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    enter(home, "77")
    assert commands.run(["backup"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert said == [f"Copied and read again: {the_copy(home)}", "On another device: none yet"]


def test_without_a_store_nothing_is_copied(home: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    assert commands.run(["backup"]) == 73
    assert "there is no store yet" in capsys.readouterr().err
    assert not home.store_path.exists()


def test_a_folder_that_is_not_there_is_said(
    home: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    enter(home, "77")
    assert commands.run(["backup", "--to", str(tmp_path / "stick")]) == 73
    assert capsys.readouterr().err.startswith("Everything saved is in the store. No copy was made in")


def test_a_further_folder_gets_a_copy_too(home: Settings, tmp_path: Path) -> None:
    enter(home, "77")
    (tmp_path / "stick").mkdir()
    assert commands.run(["backup", "--to", str(tmp_path / "stick")]) == 0
    assert len(list((tmp_path / "stick").glob("*/*.sqlite"))) == 1


def test_a_copy_is_brought_back_beside_the_store_and_both_are_told(
    home: Settings, capsys: pytest.CaptureFixture[str]
) -> None:
    enter(home, "77")
    commands.run(["backup"])
    enter(home, "78")
    capsys.readouterr()
    assert commands.run(["restore", str(the_copy(home))]) == 0
    said = capsys.readouterr().out
    assert "The store in use: store.sqlite\n  2 jobs, 2 entries" in said
    assert "  1 job, 1 entry" in said
    assert "in job 78." in said
    assert "Nothing that the other lacks." in said
    assert "Your store is as it was." in said
    assert Settings.load(home.folder).store_path == home.store_path


def test_the_one_brought_back_is_used_when_that_is_asked_for(
    home: Settings, capsys: pytest.CaptureFixture[str]
) -> None:
    enter(home, "77")
    commands.run(["backup"])
    assert commands.run(["restore", str(the_copy(home)), "--use"]) == 0
    assert "The one before is kept as store.sqlite." in capsys.readouterr().out
    assert Settings.load(home.folder).store_path.name.startswith("store-brought-back-")


def test_a_store_that_cannot_be_read_does_not_keep_its_copy_away(
    home: Settings, capsys: pytest.CaptureFixture[str]
) -> None:
    enter(home, "77")
    commands.run(["backup"])
    home.store_path.write_bytes(b"rotten" * 9000)
    capsys.readouterr()
    assert commands.run(["restore", str(the_copy(home)), "--use"]) == 0
    said = capsys.readouterr().out
    assert "can't be read as a store of this program" in said
    assert "The one brought back" in said
    with closing(Store.open(Settings.load(home.folder).store_path)) as store:
        assert [line.number_text for line in store.jobs()] == ["77"]


def test_nothing_is_written_over(home: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    enter(home, "77")
    commands.run(["backup"])
    assert commands.run(["restore", str(the_copy(home)), "--out", str(home.store_path)]) == 73
    assert "is there already" in capsys.readouterr().err
