"""A review from the queue to the approval by key events alone: asked, sent back, answered, seen again."""

from __future__ import annotations

from PySide6.QtCore import Qt

from app.ui.dialogs.frame import open_dialog
from tests.app.desk.making import PASSPHRASE

ENTER, KEY = Qt.Key.Key_Return, Qt.Key
ALT, CONTROL = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ControlModifier
SHIFTED = CONTROL | Qt.KeyboardModifier.ShiftModifier
TESTER, APPROVER = ("adder", "T. Adder"), ("oskarrin", "M. Oskarrin")


def _sit_down(hand, who):
    """The other person comes to the computer and asks for the review."""
    hand.window.settings.change(person_id=who[0], person_name_text=who[1])
    hand.press(KEY.Key_W, CONTROL)
    hand.window.session.open_job(hand.window.session.job_id)
    hand.rest()
    hand.press(KEY.Key_R, SHIFTED)
    hand.wait(lambda: hand.window.page("review").state.view is not None)
    hand.rest()


def _page(hand):
    return hand.window.page("review")


def _sign(hand):
    """The passphrase of the dialog in front, and Enter."""
    dialog = open_dialog()
    dialog.focus_passphrase()
    hand.enter(PASSPHRASE)
    hand.wait(lambda: open_dialog() is None)


def _go_to_field(hand, quantity_id):
    """Enter until the field of that quantity is in hand."""
    page = hand.window.page("worksheet")
    for _ in range(20):
        if page.address_here() is not None and page.address_here().quantity_id == quantity_id:
            return
        hand.press(ENTER)
    raise AssertionError(quantity_id)


def _go_to_line(hand, asked):
    """Down the list to the line with a comment in that state."""
    page = _page(hand)
    hand.press(KEY.Key_Home)
    for _ in range(20):
        if page.line_in_hand().asked == asked:
            return
        hand.press(KEY.Key_Down)
    raise AssertionError(asked)


def _compared(hand):
    """Every cell of the phases side by side."""
    model = _page(hand).detail.model
    return {
        model.index(row, column).data()
        for row in range(model.rowCount())
        for column in range(model.columnCount())
    }


def _settle_the_rest(hand):
    """Go to each line that waits and grant it, all lines of its kind at once."""
    page = _page(hand)
    for _ in range(20):
        if page.state.open_count == 0:
            return
        hand.press(ENTER)
        hand.control(KEY.Key_D)
        hand.enter("lead known", "until the next outage")
        if open_dialog() is not None:
            hand.press(ENTER)
        hand.wait(lambda: open_dialog() is None and page.line_in_hand().settled)


def _ask_and_send_back(hand):
    page = _page(hand)
    hand.press(KEY.Key_F4)
    hand.type("which terminals")
    hand.press(ENTER)
    hand.press(KEY.Key_Right)
    hand.press(ENTER)
    hand.wait(lambda: open_dialog() is None and page.line_in_hand().asked == "open")
    hand.control(KEY.Key_B)
    hand.press(KEY.Key_2)
    hand.press(ENTER)
    hand.enter("on its own terminals")
    if open_dialog() is not None:
        hand.press(ENTER)
    hand.wait(lambda: open_dialog() is None and page.line_in_hand().settled)
    _settle_the_rest(hand)
    hand.press(ENTER, CONTROL)
    _sign(hand)
    hand.wait(lambda: hand.window.session.view.job.state == "sent_back")


def _correct_and_answer(hand):
    page = _page(hand)
    hand.wait(lambda: page.foot.main_act == "open" and page.lines.hasFocus())
    _go_to_line(hand, "open")
    hand.press(ENTER)
    hand.wait(lambda: hand.window.page_id == "worksheet")
    _go_to_field(hand, "r_measured_ohm")
    hand.enter("2.110")
    hand.press(KEY.Key_R, SHIFTED)
    hand.wait(lambda: page.isVisible() and page.detail.talk.isVisible())
    hand.control(KEY.Key_K)
    hand.wait(lambda: open_dialog() is not None)
    assert open_dialog().kind.value() == "correction"
    hand.press(ENTER)
    hand.press(ENTER)
    hand.enter("slip of the pen")
    hand.wait(lambda: open_dialog() is None)


def _hand_in_again(hand, path):
    hand.control(KEY.Key_H)
    hand.wait(lambda: open_dialog() is not None)
    dialog = open_dialog()
    hand.press(ENTER)
    hand.press(ENTER)
    hand.press(ENTER)
    for words in ("M. Oskarrin", str(path), PASSPHRASE):
        hand.focus.selectAll()
        hand.enter(words)
    hand.wait(lambda: open_dialog() is not dialog)
    hand.press(KEY.Key_Escape)
    hand.wait(lambda: hand.window.session.view.job.state == "handed_in")


def test_a_line_is_asked_about_sent_back_answered_looked_at_again_and_approved_by_keys(hand, tmp_path):
    page = _page(hand)
    before = {line.key: line.found_text for line in page.state.shown}
    first = page.line_in_hand()
    _ask_and_send_back(hand)

    _sit_down(hand, TESTER)
    _correct_and_answer(hand)
    _hand_in_again(hand, tmp_path / "again.json")

    _sit_down(hand, APPROVER)
    hand.wait(lambda: page.state.revision.revision == 2 and page.state.changed is not None)
    every = page.state.every_count
    hand.press(KEY.Key_3, ALT)
    hand.wait(lambda: page.tabs.view_id == "changed" and page.model.rowCount())
    assert 0 < page.model.rowCount() < every
    told = {line.key: line for line in page.model.lines}
    assert told[first.key].found_text.endswith(f"Was outside: {before[first.key]}")
    assert told[first.key].verdict == "within"
    _go_to_line(hand, "answered")
    hand.wait(lambda: "2.110" in _compared(hand))
    hand.press(KEY.Key_1, ALT)
    hand.wait(lambda: page.tabs.view_id == "to_decide" and first.key in {one.key for one in page.model.lines})
    assert page.foot.sentence.text.startswith("Approve is not possible yet:")
    _go_to_line(hand, "answered")
    assert page.line_in_hand().key == first.key
    hand.control(KEY.Key_K)
    hand.wait(lambda: first.key not in {one.key for one in page.model.lines})
    _settle_the_rest(hand)
    hand.press(ENTER, CONTROL)
    _sign(hand)
    hand.wait(lambda: hand.window.session.view.job.state == "approved")
