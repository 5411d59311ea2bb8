"""Preferences survive, refuse what a row does not allow, and are never lost."""

from __future__ import annotations

import errno
import json
from pathlib import Path

import pytest

from app.settings import ROWS, Settings


def test_a_changed_preference_is_there_after_loading_again(tmp_path: Path) -> None:
    Settings.load(tmp_path).change(paper="Letter")

    assert Settings.load(tmp_path).get("paper") == "Letter"


def test_a_value_that_is_none_of_the_choices_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="none of its choices"):
        Settings.load(tmp_path).change(paper="A5")


def test_an_unreadable_file_is_set_aside_and_named(tmp_path: Path) -> None:
    (tmp_path / "settings.json").write_text("{half", encoding="utf-8")
    loaded = Settings.load(tmp_path)

    (aside,) = tmp_path.glob("settings.unreadable-*.json")
    assert aside.name in loaded.note_text
    assert aside.read_text(encoding="utf-8") == "{half"


def test_the_number_of_a_person_stays_the_same(tmp_path: Path) -> None:
    first = Settings.load(tmp_path).me()

    assert Settings.load(tmp_path).me() == first


def test_the_decimal_mark_reaches_the_parser(tmp_path: Path) -> None:
    loaded = Settings.load(tmp_path)
    loaded.change(decimal_mark="comma")

    assert loaded.decimal_comma() is True


def test_every_row_has_label_and_help() -> None:
    assert [row.name for row in ROWS if not (row.label and row.help_text)] == []


def test_every_default_is_one_of_the_choices() -> None:
    chosen = [row for row in ROWS if row.choices]

    assert [row.name for row in chosen if row.default not in {value for value, _ in row.choices}] == []


def test_what_a_newer_program_keeps_in_the_file_is_still_there_after_an_older_one_saved(
    tmp_path: Path,
) -> None:
    path = tmp_path / "settings.json"
    later = {"ink_text": "green", "windows": [1, 2], "paper": "Letter"}
    path.write_text(json.dumps(later), encoding="utf-8")
    Settings.load(tmp_path).change(person_name_text="T. Adder")

    assert json.loads(path.read_text(encoding="utf-8")) == {**later, "person_name_text": "T. Adder"}


def test_a_choice_that_only_a_newer_program_has_is_not_followed_and_not_lost(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    path.write_text(json.dumps({"theme": "dusk"}), encoding="utf-8")
    loaded = Settings.load(tmp_path)
    loaded.change(person_name_text="T. Adder")

    assert loaded.get("theme") == "day"
    assert json.loads(path.read_text(encoding="utf-8"))["theme"] == "dusk"


def test_a_folder_that_takes_no_file_is_looked_at_under_a_number_of_one_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def read_only(*_arguments: object) -> None:
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr("app.settings.write_whole", read_only)
    loaded = Settings.load(tmp_path)

    assert loaded.me() == loaded.me()
    assert loaded.me()[0]
