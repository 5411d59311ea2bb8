"""The verb of the place on the command line, over a data folder of its own."""

from __future__ import annotations

import shutil
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
    with closing(Store.open(settings.store_path)) as store:
        Desk(store, settings).new_job(Header(number_text="77"))
    return settings


def test_it_is_said_where_everything_lies(home: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    assert commands.run(["place"]) == 0
    said = capsys.readouterr().out

    assert said.startswith(f"Data lies in {home.folder}\n")
    assert f"  jobs, readings and trail: {home.store_path}\n" in said
    assert f"  sealed keys: {home.folder / 'keys'} (none yet)\n" in said


def test_everything_is_moved_and_the_folder_before_is_named(
    home: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert commands.run(["place", "--move", str(tmp_path / "elsewhere")]) == 0
    assert "files were copied to" in capsys.readouterr().out
    assert commands.run(["place"]) == 0
    said = capsys.readouterr().out

    assert said.startswith(f"Data lies in {tmp_path / 'elsewhere'}\n")
    assert f"Before the last move it lay in {home.folder}; that is kept" in said


def test_while_a_window_writes_nothing_is_moved(
    home: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with closing(Store.open(home.store_path)):
        assert commands.run(["place", "--move", str(tmp_path / "elsewhere")]) == 73

    assert "already open in another window" in capsys.readouterr().err
    assert not (tmp_path / "elsewhere").exists()


def test_no_copy_is_made_of_a_folder_that_is_gone_and_it_is_named(
    home: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    commands.run(["place", "--move", str(tmp_path / "stick")])
    shutil.rmtree(tmp_path / "stick")

    assert commands.run(["backup"]) == 73
    assert (
        f"Your data was moved to {tmp_path / 'stick'}, and that folder is not there"
        in capsys.readouterr().err
    )
    assert commands.run(["place"]) == 0
    assert "that folder is not there" in capsys.readouterr().out
    assert not (tmp_path / "stick").exists()
