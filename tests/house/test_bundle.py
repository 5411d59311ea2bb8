"""What the bundle is made of keeps up with the tree; building it belongs to the long form of CI."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

from tests.bundle import build, contents, start

ROOT = Path(__file__).resolve().parents[2]
# What a checkout has beside the program's own files.
NOT_DATA = {".py", ".typed", ".mako"}


def tracked() -> set[str]:
    listed = subprocess.run(
        ["git", "ls-files", *contents.PACKAGES], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if listed.returncode:
        pytest.skip("not a git checkout")
    return {line for line in listed.stdout.splitlines() if (ROOT / line).is_file()}


def taken() -> set[str]:
    return {Path(source).relative_to(ROOT).as_posix() for source, _ in contents.own_data(ROOT)}


def test_every_file_that_is_no_module_goes_into_the_bundle() -> None:
    wanted = {name for name in tracked() if Path(name).suffix not in NOT_DATA}

    assert len(wanted) > 20
    assert sorted(wanted - taken()) == []


def test_every_form_of_both_stores_goes_in_as_a_file() -> None:
    steps = {
        path.relative_to(ROOT).as_posix() for path in (ROOT / "app/jobstore").rglob("migrations/**/0*.py")
    }

    assert len(steps) >= 2
    assert steps - taken() == set()


def test_the_licence_of_the_program_lies_where_it_is_looked_for() -> None:
    assert (str(ROOT / "LICENSE"), ".") in contents.own_data(ROOT)


@pytest.mark.parametrize(
    "name",
    [
        "PySide6/Qt/plugins/platforminputcontexts/libqtvirtualkeyboardplugin.so",
        "PySide6\\plugins\\platforminputcontexts\\qtvirtualkeyboardplugin.dll",
        "PySide6/Qt/lib/libQt6Quick.so.6",
        "libQt6Network.so.6",
        "PySide6/Qt/translations/qtbase_de.qm",
        "libgtk-3.so.0",
    ],
)
def test_what_nothing_asks_for_stays_out(name: str) -> None:
    assert contents.is_left_out(name)


@pytest.mark.parametrize(
    "name",
    [
        "PySide6/Qt/lib/libQt6Core.so.6",
        "PySide6/Qt/plugins/platforms/libqxcb.so",
        "PySide6/Qt/plugins/platforms/libqoffscreen.so",
        "PySide6/Qt/plugins/printsupport/libcupsprintersupport.so",
        "resources/texts/en.json",
        "samples/line_bay.json",
    ],
)
def test_what_the_program_needs_goes_in(name: str) -> None:
    assert not contents.is_left_out(name)


def test_no_module_of_the_program_asks_for_one_that_is_left_out() -> None:
    asked = {
        name
        for package in ("app", "ctcore")
        for path in (ROOT / package).rglob("*.py")
        for name in re.findall(r"^\s*(?:from|import) ([\w.]+)", path.read_text("utf-8"), re.MULTILINE)
    }

    assert asked & set(contents.EXCLUDED) == set()


def test_modules_asked_for_by_name_are_there() -> None:
    code = (
        f"import importlib; [importlib.import_module(one) for one in {(*contents.HIDDEN, *contents.WHOLE)!r}]"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert done.stderr == ""


def test_the_bundle_answers_for_the_child_that_reads_a_workbook(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    book = openpyxl.Workbook()
    book.active.append(["volts", 12])
    book.save(tmp_path / "book.xlsx")
    limits = json.dumps({"memory": 1 << 40, "rows": 9, "columns": 9, "cells": 99, "unpacked": 10**7})
    monkeypatch.setattr("app.exchange.workbook_child._hold_to", lambda _bytes: None)
    monkeypatch.setattr(sys, "argv", ["coreleaf", *start.CHILD, str(tmp_path / "book.xlsx"), limits])

    assert start.start() == 0
    assert json.loads(capsys.readouterr().out)["rows"] == [["volts", 12]]


def test_the_size_of_a_folder_counts_a_file_once(tmp_path: Path) -> None:
    (tmp_path / "library.so.6").write_bytes(bytes(1_000_000))
    (tmp_path / "library.so").symlink_to("library.so.6")

    assert build.size_mb(tmp_path) == 1.0


def test_the_mark_of_a_build_names_the_commit(tmp_path: Path) -> None:
    build._write_mark(tmp_path / "resources" / "build.json")
    mark = json.loads((tmp_path / "resources" / "build.json").read_text(encoding="utf-8"))

    assert re.fullmatch(r"[0-9a-f]{12}(-changed)?", mark["commit"])
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", mark["committed"])
