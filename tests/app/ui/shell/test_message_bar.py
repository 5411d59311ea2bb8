"""What is said between title block and page: what is to be known stays, what was only told goes by itself."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from tests.app.ui.desk_of_window import OpenHand

SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def hand(qtbot, tmp_path):
    made = OpenHand(qtbot, tmp_path)
    yield made
    made.close()


def test_a_note_goes_with_the_next_page(hand):
    hand.window.bar.note("Copied to L2 and L3.")
    hand.rest()
    assert hand.window.bar.isVisible()
    hand.press(Qt.Key.Key_N, SHIFTED)
    assert (hand.window.page_id, hand.window.bar.isVisible(), hand.window.bar.sentence) == (
        "registers", False, "",
    )  # fmt: skip


def test_what_is_to_be_known_stays_until_it_is_put_away(hand):
    hand.window.bar.note("Copied.")
    hand.window.bar.say("Nothing was lost. The disk is full.")
    hand.press(Qt.Key.Key_N, SHIFTED)
    assert hand.window.bar.sentence == "Nothing was lost. The disk is full."
    hand.press(Qt.Key.Key_Escape)
    assert not hand.window.bar.isVisible()


def test_a_note_goes_when_something_else_is_kept_and_the_focus_stays(hand):
    hand.window.show_page("title")
    hand.rest()
    hand.window.bar.note("Copied.")
    field = hand.focus
    hand.window.session.do(lambda desk, job_id: desk.remark(job_id, "", "", "seen"))
    hand.wait(lambda: not hand.window.bar.isVisible())
    assert hand.focus is field
