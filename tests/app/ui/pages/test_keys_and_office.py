from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester

from app.desk.office import EnrolledLine
from app.record import envelope
from app.ui.dialogs.frame import open_dialog
from app.ui.models.enrolled import EnrolledModel
from app.ui.shell.lettering import Words

ALT = Qt.KeyboardModifier.AltModifier
SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
PASSPHRASE, OTHER = "four quiet words here", "five other words over there"


@pytest.fixture(autouse=True)
def _cheap_envelopes(monkeypatch):
    monkeypatch.setattr(envelope, "MEMORY_KIB", 64)


def _mine(hand):
    hand.press(Qt.Key.Key_K, SHIFTED)
    return hand.window.page("my_key")


def _make(hand):
    page = _mine(hand)
    hand.press(Qt.Key.Key_M, ALT)
    hand.enter(PASSPHRASE, PASSPHRASE)
    hand.wait(lambda: open_dialog() is None and page.state.mine is not None)
    return page


def _answer(hand, *words):
    for one in words:
        hand.focus.selectAll()
        hand.enter(str(one))


def test_without_a_key_only_making_one_is_offered(hand):
    page = _mine(hand)
    possible = [name for name, button in page.buttons.items() if button.isEnabled()]
    assert page.mine.text() == "J. Velde has no key on this computer yet."
    assert possible == ["make_key", "believe", "take_list"]


def test_a_key_is_made_and_says_that_nobody_vouches_for_it(hand):
    page = _make(hand)
    assert "Self-signed: no office vouches for it." in page.mine.text()
    assert page.fingerprint.text() == page.state.mine.fingerprint_groups
    assert not page.buttons["make_key"].isEnabled()


def test_a_short_passphrase_makes_no_key_and_says_why(hand):
    page = _mine(hand)
    hand.press(Qt.Key.Key_M, ALT)
    dialog = open_dialog()
    hand.enter("four quiet", "four quiet")
    hand.wait(lambda: dialog.trouble.text())
    assert dialog.trouble.text().startswith("No key was made. A passphrase has at least 15 characters")
    hand.press(Qt.Key.Key_Escape)
    assert page.state.mine is None


def test_two_passphrases_that_differ_make_no_key(hand):
    _mine(hand)
    hand.press(Qt.Key.Key_M, ALT)
    dialog = open_dialog()
    hand.enter(PASSPHRASE, OTHER)
    said = dialog.answers["again"].reason
    hand.press(Qt.Key.Key_Escape)
    assert said == "The two are not the same. Key the second one again."


def test_what_is_keyed_is_shown_when_asked_for(hand):
    _mine(hand)
    hand.press(Qt.Key.Key_M, ALT)
    dialog = open_dialog()
    hand.type("four quiet")
    hidden = dialog.answers["new"].line.displayText()
    hand.press(Qt.Key.Key_V, ALT)
    shown = dialog.answers["new"].line.displayText()
    hand.press(Qt.Key.Key_Escape)
    assert (hidden == "four quiet", shown) == (False, "four quiet")


def test_the_window_goes_on_while_a_key_is_made(hand):
    page = _mine(hand)
    page.do("make_key")
    dialog = open_dialog()
    dialog.answers["new"].line.setText(PASSPHRASE)
    dialog.answers["again"].line.setText(PASSPHRASE)
    dialog.main.click()
    assert hand.window.session.writer.busy
    dialog.reject()
    assert dialog.isVisible()
    assert dialog.main.text() == "Working…"
    hand.wait(lambda: open_dialog() is None)


def test_the_export_for_another_program_warns_before_it_is_written(hand, tmp_path):
    _make(hand)
    hand.press(Qt.Key.Key_X, ALT)
    warned = any(
        "can try passphrases on it at great speed" in label.text()
        for label in open_dialog().findChildren(Words)
    )
    path = tmp_path / "me.p12"
    _answer(hand, path, PASSPHRASE, OTHER, OTHER)
    hand.wait(path.exists)
    hand.wait(lambda: open_dialog() is None)
    assert warned


def test_a_wrong_passphrase_writes_no_request_and_the_next_try_waits(hand, tmp_path):
    _make(hand)
    hand.press(Qt.Key.Key_R, ALT)
    dialog, path = open_dialog(), tmp_path / "request.pem"
    _answer(hand, path, OTHER)
    hand.wait(lambda: "try 1 of 10" in dialog.trouble.text())
    dialog.main.click()
    hand.rest()
    said = dialog.trouble.text()
    hand.press(Qt.Key.Key_Escape)
    assert said.startswith("Wait 1 s before the next try; 1 of 10 did not open it.")
    assert not path.exists()


def test_an_office_enrols_who_asks_and_ends_a_person_again(hand, tmp_path):
    page = _make(hand)
    request, enrolled = tmp_path / "request.pem", tmp_path / "enrolled.pem"
    hand.press(Qt.Key.Key_R, ALT)
    _answer(hand, request, PASSPHRASE)
    hand.wait(lambda: request.exists() and open_dialog() is None)
    hand.press(Qt.Key.Key_O, SHIFTED)
    office = hand.window.page("office")
    hand.press(Qt.Key.Key_M, ALT)
    hand.enter("Tarnbeck test office", OTHER, OTHER)
    hand.wait(lambda: open_dialog() is None and office.office is not None)
    hand.press(Qt.Key.Key_N, ALT)
    hand.enter(str(request))
    hand.press(Qt.Key.Key_Right)
    hand.press(Qt.Key.Key_Return)
    _answer(hand, enrolled, OTHER)
    hand.wait(lambda: open_dialog() is None and office.model.rowCount() == 1)
    hand.press(Qt.Key.Key_K, SHIFTED)
    hand.press(Qt.Key.Key_T, ALT)
    hand.enter(str(enrolled))
    hand.wait(lambda: open_dialog() is None and page.state.mine.enrolled)
    assert "Enrolled by the office Tarnbeck test office." in page.mine.text()
    assert page.state.mine.roles == ("approver",)
    hand.press(Qt.Key.Key_O, SHIFTED)
    hand.press(Qt.Key.Key_E, ALT)
    hand.enter("left the firm", OTHER)
    hand.wait(lambda: open_dialog() is None and office.office.people[0].ended_text)
    assert office.model.index(0, 2).data().endswith(": left the firm")


def test_the_list_of_people_passes_the_tester(qapp):
    model = EnrolledModel()
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Warning)
    line = EnrolledLine(
        name_text="T. Adder", fingerprint="ab", enrolled_text="4 May", ended_text="", reason_text=""
    )
    model.put([line])
    assert [model.index(0, column).data() for column in range(3)] == ["T. Adder", "4 May", "in force"]
    model.put([])
    assert tester.model() is model
