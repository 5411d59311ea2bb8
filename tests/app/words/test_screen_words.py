"""Every page and dialog in the language of the test: what is not marked is the record's own, or on a list.

The list holds what stays English for now, each with its reason; it may shrink and not grow.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

ROOT: Final = Path(__file__).parents[3]
LIST: Final = Path(__file__).with_name("stays_english.json")
MOST: Final = 10


def stays() -> list[tuple[re.Pattern[str], str]]:
    """Text by text as a pattern, and why it stays."""
    rows = json.loads(LIST.read_text("utf-8"))
    return [(re.compile(pattern), reason) for pattern, reason in rows.items()]


@pytest.fixture(scope="module")
def said(tmp_path_factory) -> dict[str, str]:
    """Every text with a word that did not go through the tables, by a program of its own, as a window is."""
    out = tmp_path_factory.mktemp("words") / "said.json"
    asked = [sys.executable, "-m", "tests.app.words.walking", str(out)]
    known = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(
        asked, cwd=ROOT, env=known, capture_output=True, text=True, timeout=600, check=False
    )
    assert out.exists(), done.stderr[-2000:]
    found: dict[str, str] = json.loads(out.read_text("utf-8"))
    return found


def test_every_text_of_the_screen_goes_through_the_tables(said: dict[str, str]) -> None:
    allowed = stays()
    new = {one: page for one, page in said.items() if not any(row.search(one) for row, _ in allowed)}

    assert new == {}


def test_nothing_is_on_the_list_that_is_told_already(said: dict[str, str]) -> None:
    assert [row.pattern for row, _ in stays() if not any(row.search(one) for one in said)] == []


def test_the_list_of_what_stays_english_does_not_grow_and_gives_its_reasons() -> None:
    assert len(stays()) <= MOST
    assert [row.pattern for row, reason in stays() if len(reason) < 10] == []
