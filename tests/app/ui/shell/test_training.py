"""Training in the window: the word stands on every screen, and what would make a record says why not."""

from __future__ import annotations

import dataclasses

import pytest

from app.settings import Settings, training_folder
from app.ui import start
from app.ui.dialogs.frame import open_dialog
from app.ui.window import PAGES
from tests.app.ui.desk_of_window import OpenHand

MARK = "training: not a record"


@pytest.fixture
def hand(qtbot, tmp_path):
    made = OpenHand(qtbot, training_folder(tmp_path))
    yield made
    made.close()


@pytest.mark.parametrize("page_id", ["jobs", *PAGES])
@pytest.mark.parametrize("width", [640, 1366])
def test_every_screen_says_that_it_is_training(hand, page_id, width):
    hand.window.resize(width, 700)
    hand.window.show_page(page_id)
    hand.rest()
    assert hand.window.windowTitle() == f"Coreleaf, {MARK}"
    assert (hand.window.title.training.words, hand.window.title.training.isVisible()) == (MARK, True)
    assert (hand.window.status.training.text, hand.window.status.training.isVisible()) == (MARK, True)


def test_a_real_window_says_nothing_of_training(qtbot, tmp_path):
    real = OpenHand(qtbot, tmp_path)
    assert real.window.title.training is None
    assert not real.window.status.training.isVisible()
    assert not real.job.header.training
    real.close()


def test_handing_in_says_why_not_and_freezes_nothing(hand):
    core_id = hand.window.place[0]
    hand.window.session.do(lambda desk, job_id: desk.remark(job_id, core_id, "ratio", "Seen."))
    hand.window.deeds.do("hand_in")
    hand.wait(open_dialog)
    dialog = open_dialog()
    dialog.main.click()
    hand.rest()
    assert MARK in dialog.trouble.text()
    assert (dialog.training_mark.text, dialog.training_mark.isVisible()) == (MARK, True)
    assert hand.job.state != "handed_in"
    dialog.reject()


def test_the_preferences_are_taken_along_and_the_number_in_the_records_is_not(tmp_path):
    real = Settings.load(tmp_path)
    real.change(organisation_text="Tarnbeck", person_name_text="J. Velde", archive_place_text="/far/away")
    real.me()
    trained = Settings.load(training_folder(tmp_path))
    start._take_along(trained, real)
    assert (trained.get("organisation_text"), trained.get("person_name_text")) == ("Tarnbeck", "J. Velde")
    assert trained.get("archive_place_text") == ""
    assert trained.me()[0] != real.me()[0]


def test_what_was_chosen_in_training_stays_there(tmp_path):
    trained = Settings.load(training_folder(tmp_path))
    trained.change(organisation_text="Course", person_name_text="A. Pupil")
    start._take_along(trained, Settings.load(tmp_path))
    assert trained.get("organisation_text") == "Course"


def test_a_job_begun_here_is_marked(hand):
    assert dataclasses.asdict(hand.job.header)["training"]
