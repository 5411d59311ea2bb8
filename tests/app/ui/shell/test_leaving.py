"""The window closed in mid-edit, and a disk that is full while one types: nothing typed is lost unseen."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from app.jobstore import Store, StoreProblem
from app.ui.dialogs.frame import open_dialog
from app.ui.dialogs.leave import LeaveDialog
from app.ui.dialogs.readings_in import ReadingsDialog
from app.ui.shell.session import STORE_NAME
from tests.app.ui.desk_of_window import OpenHand

FULL = (
    "Everything saved before is safe. The last entry was not saved, because the disk is full. Free some room."
)
CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def hand(qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr("app.ui.worksheet.page.cautions_of", lambda _sheet: ())
    made = OpenHand(qtbot, tmp_path)
    place = made.window.place
    made.window.go_to(place[0], "excitation")
    made.window.front.page.cursor_in_hand.focus_row(0)
    yield made
    while open_dialog() is not None:
        made.press(Qt.Key.Key_Escape)
    made.close()


@pytest.fixture
def full_disk(hand, monkeypatch):
    """The store refuses every act until the returned function frees the disk."""
    store = hand.window.session.desk.store

    def refuse(*_args, **_more):
        raise StoreProblem(FULL)

    monkeypatch.setattr(store, "_enter", refuse)
    return lambda: monkeypatch.undo()


def _close(hand) -> None:
    hand.window.close()
    hand.rest()


def _volts(hand) -> list[str]:
    return [one.as_typed_text for one in hand.job.readings if one.quantity_id == "v_excitation_v"]


def test_closing_in_mid_edit_asks_and_keeps_the_text(hand, tmp_path):
    hand.type("20.5")
    _close(hand)
    dialog = open_dialog()
    assert isinstance(dialog, LeaveDialog)
    assert hand.window.isVisible()
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: not hand.window.isVisible())
    store = Store.open(tmp_path / STORE_NAME)
    kept = [one.as_typed_text for one in store.load(store.jobs()[0].job_id).readings]
    store.close()
    assert kept == ["20.5"]


def test_escape_goes_back_to_the_field_with_the_text_in_it(hand):
    hand.type("20.5")
    _close(hand)
    hand.press(Qt.Key.Key_Escape)
    assert hand.window.isVisible()
    assert hand.focus.text() == "20.5"
    hand.press(Qt.Key.Key_Return)
    assert _volts(hand) == ["20.5"]


def test_a_text_can_be_left_out_on_closing(hand):
    hand.type("20.5")
    _close(hand)
    QTest.keyClick(open_dialog(), Qt.Key.Key_W, Qt.KeyboardModifier.AltModifier)
    hand.wait(lambda: not hand.window.isVisible())


def test_a_field_without_a_new_text_is_not_asked_about(hand):
    _close(hand)
    assert (open_dialog(), hand.window.isVisible()) == (None, False)


def test_a_form_with_a_half_typed_text_is_asked_about_too(hand):
    hand.window.show_page("title")
    hand.press(Qt.Key.Key_End)
    hand.type(" east")
    _close(hand)
    assert isinstance(open_dialog(), LeaveDialog)
    hand.press(Qt.Key.Key_Escape)
    assert hand.focus.text().endswith(" east")


def test_on_a_full_disk_the_text_stays_in_its_field_and_enter_keeps_it_once_there_is_room(hand, full_disk):
    hand.type("20.5")
    hand.press(Qt.Key.Key_Return)
    page = hand.window.front.page
    assert page.body.hint.text() == FULL
    assert (hand.focus.text(), _volts(hand)) == ("20.5", [])
    full_disk()
    hand.press(Qt.Key.Key_Return)
    assert (_volts(hand), page.body.hint.problem) == (["20.5"], "")


def test_closing_on_a_full_disk_says_what_is_safe_and_keeps_the_window_open(hand, full_disk):
    hand.type("20.5")
    _close(hand)
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: open_dialog().trouble.text())
    assert open_dialog().trouble.text().startswith("Everything saved before is safe.")
    assert "The text still stands in its field" in open_dialog().trouble.text()
    assert hand.window.isVisible()
    full_disk()
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: not hand.window.isVisible())


def test_a_block_stays_in_its_preview_while_the_disk_is_full(hand, full_disk):
    QGuiApplication.clipboard().setText("20\t3.43\n80\t9.12\n")
    hand.press(Qt.Key.Key_V, CONTROL)
    dialog = open_dialog()
    assert isinstance(dialog, ReadingsDialog)
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: dialog.trouble.text())
    assert dialog.trouble.text() == FULL
    full_disk()
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: open_dialog() is None)
    assert _volts(hand) == ["20", "80"]
    QGuiApplication.clipboard().clear()


def test_the_question_leaves_no_empty_room_between_its_words_and_its_buttons(hand):
    hand.window.resize(683, 384)
    hand.type("52.5")
    _close(hand)
    dialog = open_dialog()
    dialog.say(FULL)
    hand.rest()
    between = dialog.trouble.geometry().top() - dialog.training_mark.geometry().bottom()
    lines = dialog.trouble.fontMetrics().height()
    assert not dialog._scroll.isVisible()
    assert between < 5 * lines
