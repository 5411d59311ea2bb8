from __future__ import annotations

import subprocess
import sys

import pytest
from PySide6.QtCore import Qt

from tests.app.ui.desk_of_window import Hand


@pytest.fixture
def hand(qtbot, tmp_path):
    made = Hand(qtbot, tmp_path)
    yield made
    made.close()


def test_an_empty_store_says_how_to_begin(hand):
    hand.open_store()
    assert hand.window.page_id == "jobs"
    assert hand.window.jobs.empty.text().startswith("No jobs here. Take one in, or start one.")


def test_letters_typed_at_once_search(hand):
    hand.open_store()
    hand.type("bay")
    assert hand.window.jobs.search.text() == "bay"


def test_only_qt_is_loaded_before_the_first_paint():
    heavy = ("numpy", "scipy", "pyqtgraph", "sqlalchemy", "alembic", "reportlab", "pydantic", "ctcore")
    code = f"import sys, app.ui.start;print([name for name in {heavy!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.stdout.strip(), done.stderr) == ("[]", "")


def test_undo_without_a_job_says_so(hand):
    hand.open_store()
    hand.control(Qt.Key.Key_Z)
    assert hand.window.bar.sentence.startswith("No job is open")
