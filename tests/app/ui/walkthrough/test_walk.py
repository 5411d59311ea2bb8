"""The walk in the window: by keyboard, moving on by itself, remembered, never in the way."""

from __future__ import annotations

import dataclasses

import pytest
from PySide6.QtCore import Qt

from app.ui.walkthrough.steps import STEPS
from tests.app.ui.desk_of_window import Hand, OpenHand

_SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def hand(qtbot, tmp_path):
    made = OpenHand(qtbot, tmp_path)
    yield made
    made.close()


def step(hand) -> str:
    return [*(one.step_id for one in STEPS), "finished"][hand.window.walk.panel.number]


def confirm_plate(hand):
    session = hand.window.session
    ct = dataclasses.replace(hand.job.positions[0].cts[0], plate_confirmed=True)
    session.do(lambda desk, job_id: desk.set_ct(job_id, ct))
    hand.rest()


def test_a_window_without_a_walk_has_no_panel(hand):
    assert hand.window.walk._panel is None


def test_an_empty_list_offers_it(qtbot, tmp_path):
    hand = Hand(qtbot, tmp_path)
    hand.open_store()
    assert hand.window.jobs.walk.isVisible()
    hand.window.jobs.walk.click()
    assert (hand.window.walk.panel.isVisible(), step(hand)) == (True, "job")
    hand.close()


def test_its_key_brings_it_and_then_its_buttons(hand):
    hand.press(Qt.Key.Key_W, _SHIFT)
    before = hand.window.walk.panel.holds_focus()
    hand.press(Qt.Key.Key_W, _SHIFT)
    assert (before, hand.window.walk.panel.holds_focus(), step(hand)) == (False, True, "plate")
    hand.press(Qt.Key.Key_Escape)
    assert (hand.window.walk.panel.holds_focus(), hand.window.page_id) == (False, "worksheet")


def test_it_moves_on_by_itself_when_the_plate_was_compared(hand):
    hand.window.walk.resume()
    confirm_plate(hand)
    assert step(hand) == "insulation"


def test_going_there_leaves_the_keys_to_the_entry(hand):
    hand.window.walk.resume()
    confirm_plate(hand)
    hand.window.walk.panel.go.click()
    page = hand.window.page("worksheet").page
    hand.rest()
    assert (hand.window.page_id, page.sheet.procedure.procedure_id) == ("worksheet", "insulation")
    assert not hand.window.walk.panel.holds_focus()


def test_a_step_can_be_gone_past(hand):
    hand.window.walk.resume()
    hand.window.walk.panel.past.click()
    assert step(hand) == "insulation"


def test_it_is_left_and_comes_back_where_it_was_in_the_next_window(hand, qtbot, tmp_path):
    hand.window.walk.resume()
    hand.window.walk.panel.past.click()
    hand.window.walk.panel.past.click()
    hand.window.walk.leave()
    gone = hand.window.walk.panel.isVisible()
    hand.close()
    second = Hand(qtbot, tmp_path)
    second.open_store()
    off = second.window.walk.progress.on
    second.window.walk.resume()
    assert (gone, off, step(second)) == (False, False, "resistance")
    second.close()


def test_another_person_begins_with_the_first_step(hand):
    hand.window.walk.resume()
    hand.window.walk.panel.past.click()
    hand.window.settings.change(person_id="somebody-else")
    hand.window.walk.progress.on = False
    hand.window.walk._go_on_where_it_was()
    assert (hand.window.walk.progress.on, hand.window.walk.progress.step_id) == (False, "job")


def test_it_begins_again(hand):
    hand.window.walk.resume()
    hand.window.walk.panel.past.click()
    hand.window.deeds.do("walk_again")
    assert step(hand) == "plate"


def test_what_is_remembered_but_cannot_be_read_begins_anew(hand, tmp_path):
    hand.window.walk.resume()
    hand.window.walk.leave()
    path = next(tmp_path.rglob("walk.json"))
    path.write_text("[", encoding="utf-8")
    hand.window.walk._go_on_where_it_was()
    hand.window.walk.resume()
    assert step(hand) == "plate"


def test_on_a_low_screen_it_is_one_line_until_its_key_is_pressed(hand):
    hand.window.resize(683, 384)
    hand.window.walk.resume()
    hand.rest()
    panel = hand.window.walk.panel
    folded = (panel.height(), panel.go.isVisible(), panel.strip.text.startswith("Ctrl+Shift+W: 3 of 10."))
    hand.press(Qt.Key.Key_W, _SHIFT)
    shown = (panel.words, panel.go, panel.past, panel.leave)
    assert folded == (28, False, True)
    assert [one.isVisible() and one.geometry().right() <= panel.width() for one in shown] == [True] * 4
    assert panel.words.heightForWidth(panel.words.width()) <= panel.height()
    hand.press(Qt.Key.Key_Escape)
    assert (panel.height(), panel.go.isVisible()) == (28, False)
