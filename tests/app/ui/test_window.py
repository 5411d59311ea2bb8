from __future__ import annotations

import subprocess
import sys

import pytest
from PySide6.QtCore import Qt

from app.ui.shell.menu import build_menu
from app.ui.shell.verbs import VERBS
from app.ui.texts import text
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


def test_a_second_window_on_the_store_looks_and_does_not_write(hand, qtbot, tmp_path):
    hand.open_store()
    second = Hand(qtbot, tmp_path)
    second.open_store()
    assert second.window.bar.sentence.startswith("You can look here, not write. This store")
    second.close()


def test_a_store_of_a_newer_program_is_refused_in_a_sentence_and_the_window_stays(hand, tmp_path):
    (tmp_path / "store.sqlite").write_bytes(b"this is no store" * 100)
    hand.window.session.open_store(tmp_path)
    hand.wait(lambda: hand.window.bar.sentence)
    assert "store.sqlite" in hand.window.bar.sentence
    hand.control(Qt.Key.Key_N)
    assert hand.window.isVisible()


def test_a_fault_on_the_writer_thread_is_reported_and_the_window_goes_on(hand, tmp_path):
    hand.open_store()
    hand.window.session.fetch(lambda _desk: 1 // 0, done=lambda _found: None)
    hand.wait(lambda: hand.window.bar.sentence)
    assert "ZeroDivisionError" in next((tmp_path / "reports").iterdir()).read_text(encoding="utf-8")
    hand.press(Qt.Key.Key_Escape)
    assert hand.window.bar.sentence == ""


def test_findings_are_settled_before_the_jobs_are_listed(hand):
    hand.open_store(sample="line_bay")
    hand.wait(lambda: hand.window.page_id == "worksheet")
    hand.control(Qt.Key.Key_J)
    hand.wait(lambda: hand.window.jobs.model.job_count == 1)
    assert hand.window.jobs.model.line(0).worst == "outside"


def test_every_verb_stands_in_the_menu_and_the_menu_fits_a_small_screen(hand):
    hand.open_store()
    menu = build_menu(hand.window.deeds, hand.window)
    below = [action.menu() for action in menu.actions() if action.menu() is not None]
    words = {action.text().split("\t")[0] for one in (menu, *below) for action in one.actions()}
    tall = menu.sizeHint().height()
    menu.deleteLater()
    assert {text(f"verb.{verb.verb_id}") for verb in VERBS if verb.verb_id != "menu"} <= words
    assert tall <= 768
