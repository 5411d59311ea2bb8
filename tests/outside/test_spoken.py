"""What a screen reader is told of every page and dialog, asked over the desktop's own bus (AT-SPI)."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from ctcore.findings import VERDICTS
from tests.outside.spoken_window import DIALOGS, PAGE_IDS, SENTENCE

ROOT = Path(__file__).resolve().parents[2]
SYSTEM_PYTHON = "/usr/bin/python3"
TOLD_AS = ("push button", "text", "table", "list", "table cell", "list item", "table column header")


def _lacking() -> str:
    programs = [name for name in ("dbus-run-session", "xvfb-run", SYSTEM_PYTHON) if not shutil.which(name)]
    if programs:
        return f"{', '.join(programs)} not installed"
    library = 'import gi; gi.require_version("Atspi", "2.0"); from gi.repository import Atspi'
    done = subprocess.run([SYSTEM_PYTHON, "-c", library], capture_output=True, check=False)
    return "" if done.returncode == 0 else "python3-gi and gir1.2-atspi-2.0 not installed"


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    lacking = _lacking()
    if lacking:
        pytest.skip(lacking)
    out = tmp_path_factory.mktemp("told") / "told.json"
    screen = ["xvfb-run", "-a", "-s", "-screen 0 1366x768x24"]
    command = ["dbus-run-session", "--", *screen, sys.executable, "-m", "tests.outside.spoken_window", out]
    environment = {**os.environ, "QT_QPA_PLATFORM": "xcb", "QT_LINUX_ACCESSIBILITY_ALWAYS_ON": "1"}
    done = subprocess.run(
        command, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(out.read_text(encoding="utf-8"))
    return found


def of_page(told: dict[str, Any], name: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = told["pages"][name]
    return found


def is_told(one: dict[str, Any]) -> bool:
    """The corner between the heads of a table is a cell too, though nothing stands in it."""
    return bool(one["name"].strip()) or (one["role"] == "table cell" and not one["focusable"])


def test_every_control_of_every_page_and_dialog_has_a_name_and_a_role(told):
    controls = {
        name: [one for one in found if one["role"] in TOLD_AS] for name, found in told["pages"].items()
    }
    nameless = [
        (name, one["role"], one["description"])
        for name, found in controls.items()
        for one in found
        if not is_told(one)
    ]
    assert set(controls) == {*PAGE_IDS, *(f"dialog {dialog}" for dialog in DIALOGS)}
    assert min(len(found) for found in controls.values()) > 4
    assert nameless == []


def test_a_group_that_takes_the_focus_is_told_with_what_stands_in_it(told):
    groups = [
        (name, one, [other for other in found if other["parent"] == one["number"]])
        for name, found in told["pages"].items()
        for one in found
        if one["focusable"] and one["role"] in ("filler", "panel")
    ]
    mute = [
        (name, one["role"], one["name"])
        for name, one, within in groups
        if not one["name"] or not (one["description"] or within)
    ]
    assert mute == []


def test_a_dialog_is_told_as_one_with_its_heading(told):
    headings = {
        name: [one["name"] for one in found if one["role"] == "dialog"]
        for name, found in told["pages"].items()
        if name.startswith("dialog ")
    }
    assert {name: found for name, found in headings.items() if len(found) != 1 or not found[0]} == {}


def test_a_cell_of_the_rows_tells_column_row_and_value(told):
    cells = [one["name"] for one in of_page(told, "worksheet") if one["role"] == "table cell"]
    rows = [name for name in cells if name.startswith("Volts, V, row ")]
    assert len(rows) > 5
    assert all(": " in name and not name.endswith(": ") for name in rows)


def test_verdicts_are_told_in_words(told):
    of_sets = [one["name"] for one in of_page(told, "worksheet") if "tests begun" in one["name"]]
    findings = [one["name"] for one in of_page(told, "worksheet") if one["role"] == "list item"]
    steps = [one["name"] for one in of_page(told, "worksheet") if one["name"].startswith("Step ")]
    said = [*of_sets, *findings]
    assert (len(of_sets), bool(findings), len(steps)) == (6, True, 4)
    assert [words for words in said if not any(verdict in words for verdict in VERDICTS)] == []
    assert [words for words in steps if not words.partition(": ")[2]] == []


def test_a_page_of_the_sheet_is_told_with_its_number_and_what_stands_on_it(told):
    pages = [
        one for one in of_page(told, "preview") if "page 1" in f"{one['name']} {one['description']}".lower()
    ]
    assert pages


@pytest.mark.parametrize(
    ("page", "words"),
    [
        ("archive", "Sheet: 1107"),
        ("filed", "genuine"),
        ("years", "winding resistance at 75"),
        ("fleet", "Open deviations"),
        ("registers", "Fenmark Grid"),
        ("dialog set-limits", "At most: 2.400"),
        ("dialog archive-checked", "Place 1: "),
    ],
)
def test_the_office_is_told_in_words(told, page, words):
    said = "\n".join(f"{one['name']} {one['description']}" for one in of_page(told, page))
    assert words.casefold() in said.casefold().replace("\N{NO-BREAK SPACE}", " ")


def test_the_counts_before_handing_in_are_told_with_their_verdicts(told):
    told_words = [one["name"] for one in of_page(told, "dialog hand-in") if one["role"] == "label"]
    assert set(VERDICTS) <= set(told_words)


def test_what_is_read_back_is_announced_once_the_hand_rests(told):
    read = [words for words in told["announced"] if "L3 core 1" in words]
    assert len(read) == 1
    assert "512" in read[0]


def test_a_message_is_announced(told):
    assert SENTENCE in told["announced"]
