"""The program says its version, the build, and what it runs on."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path

import pytest

from app import about, commands
from ctcore import __version__


def test_a_source_tree_is_no_build() -> None:
    assert about.build_text() == "run from its source, not built"


def test_a_build_names_its_commit_and_the_day(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mark = {"commit": "0123456789ab-changed", "committed": "2031-05-04"}
    (tmp_path / "build.json").write_text(json.dumps(mark), encoding="utf-8")
    monkeypatch.setattr(about, "files", lambda _package: tmp_path)

    assert about.build_text() == "build 0123456789ab-changed of 2031-05-04"


@pytest.mark.parametrize("spoiled", ["", "[]", "{}", "{half"])
def test_a_spoiled_mark_is_not_taken_for_a_build(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, spoiled: str
) -> None:
    (tmp_path / "build.json").write_text(spoiled, encoding="utf-8")
    monkeypatch.setattr(about, "files", lambda _package: tmp_path)

    assert "not built" in about.build_text()


def test_the_command_line_says_version_and_what_it_runs_on(capsys: pytest.CaptureFixture[str]) -> None:
    assert commands.run(["--version"]) == commands.DONE
    lines = capsys.readouterr().out.splitlines()

    assert lines[0] == f"Coreleaf {__version__}, run from its source, not built"
    assert lines[2].startswith("Qt 6.11")
    assert lines[3] == f"SQLite {sqlite3.sqlite_version}"


def test_each_library_stands_with_version_licence_and_use() -> None:
    rows = {row.names[0]: row for row in about.libraries()}

    assert rows["numpy"].name_text.startswith("numpy 2.")
    assert rows["PySide6 Essentials"].name_text.startswith("PySide6 Essentials 6.11")
    assert [name for name, row in rows.items() if not (row.licence_text and row.use_text)] == []


def test_a_package_that_is_not_installed_has_no_version() -> None:
    assert about.version_of("no-such-package-anywhere") == ""
