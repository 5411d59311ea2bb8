"""The first job in training: invented readings are offered step by step, and lead on when they are keyed."""

from __future__ import annotations

import re

import pytest
from PySide6.QtCore import Qt

from app.settings import Settings, empty_training, training_folder
from app.ui import start
from app.ui.dialogs.frame import open_dialog
from app.ui.shell import again
from app.ui.texts import text
from app.ui.walkthrough.panel import WalkPanel
from app.ui.walkthrough.steps import STEPS, TRIED
from tests.app.ui.desk_of_window import Hand, OpenHand


@pytest.fixture
def hand(qtbot, tmp_path):
    made = OpenHand(qtbot, training_folder(tmp_path))
    yield made
    made.close()


@pytest.mark.parametrize("training", [True, False])
@pytest.mark.parametrize("step_id", TRIED)
def test_readings_are_offered_in_training_alone(qtbot, step_id, training):
    panel = WalkPanel(training=training)
    qtbot.addWidget(panel)
    panel.show_step([step.step_id for step in STEPS].index(step_id))
    assert ("Invented" in panel.words.text()) == training


def test_the_points_that_are_offered_make_a_curve_that_is_judged(hand):
    window = hand.window
    core_id = window.place[0]
    window.go_to(core_id, "excitation")
    while window.page("worksheet").page.body.caution.current is not None:
        hand.press(Qt.Key.Key_Return)
    window.page("worksheet").page.cursor_in_hand.focus_row(0)
    offered = re.findall(r"\d+", text("walk.try.excitation"))
    hand.enter(*offered)
    hand.rest()
    verdicts = {one.verdict for one in window.session.view.findings[core_id] if one.procedure == "excitation"}
    assert len(offered) == 12
    assert verdicts - {"not tested"}


def test_training_that_is_empty_begins_with_the_first_job(qtbot, tmp_path):
    hand = Hand(qtbot, training_folder(tmp_path))
    start._go_back(hand.window, {})
    hand.open_store()
    assert hand.window.walk.panel.isVisible()
    assert hand.window.bar.sentence.startswith("This is training.")
    hand.close()


def test_training_in_which_a_job_was_begun_does_not_begin_with_the_first_one(hand):
    start._go_back(hand.window, {})
    hand.control(Qt.Key.Key_J)
    hand.rest()
    assert not hand.window.walk.progress.on


def test_training_begins_anew_after_a_question_and_nothing_else_goes(hand, tmp_path, monkeypatch):
    (tmp_path / "store.sqlite").write_bytes(b"the real one")
    asked = []
    monkeypatch.setattr(again, "start_again", lambda _window, code: asked.append(code))
    hand.window.deeds.do("practice_anew")
    open_dialog().reject()
    assert asked == []
    hand.window.deeds.do("practice_anew")
    open_dialog().main.click()
    hand.close()
    folder = training_folder(tmp_path)
    assert len(asked) == 1
    assert [path.name for path in folder.iterdir()] == ["training-not-a-record.txt"]
    assert Settings.load(folder).training
    assert (tmp_path / "store.sqlite").read_bytes() == b"the real one"


def test_a_folder_without_the_mark_is_never_emptied(tmp_path):
    (tmp_path / "training").mkdir()
    (tmp_path / "training" / "begin-anew").write_bytes(b"")
    (tmp_path / "training" / "of somebody.txt").write_text("kept", encoding="utf-8")
    empty_training(tmp_path)
    assert (training_folder(tmp_path) / "of somebody.txt").exists()
    assert not (tmp_path / "begin-anew").exists()


def test_outside_of_training_nothing_can_be_emptied(qtbot, tmp_path):
    real = OpenHand(qtbot, tmp_path)
    real.window.deeds.do("practice_anew")
    assert real.window.bar.sentence.startswith("Nothing was changed. This is not training")
    real.close()
