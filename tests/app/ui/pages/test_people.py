from __future__ import annotations

from PySide6.QtCore import Qt

ALT = Qt.KeyboardModifier.AltModifier


def _page(hand):
    hand.control(Qt.Key.Key_I)
    return hand.window.page("people")


def test_an_expired_calibration_is_said_in_the_list(hand):
    assert _page(hand).model.index(0, 3).data() == "ended 2020-01-31"


def test_an_instrument_is_added_by_keys_and_its_fields_kept(hand):
    page = _page(hand)
    hand.press(Qt.Key.Key_A, ALT)
    hand.enter("Voltmeter 7")
    hand.wait(lambda: page.model.rowCount() == 2)
    hand.enter("multimeter", "0700")
    added = hand.job.instruments[1]
    assert (added.name_text, added.kind_text, added.serial_text) == ("Voltmeter 7", "multimeter", "0700")


def test_a_date_that_is_none_stays_with_its_reason(hand):
    page = _page(hand)
    hand.answer(page.fields["due_on"], "31.2.2027")
    assert page.fields["due_on"].line.text() == "31.2.2027"
    assert page.fields["due_on"].reason.startswith("A date is wanted")
    assert hand.job.instruments[0].due_on == "2020-01-31"


def test_a_witness_is_named(hand):
    page = _page(hand)
    hand.press(Qt.Key.Key_P, ALT)
    hand.enter("W. Itness")
    assert "W. Itness" in page.people.text()


def test_the_registers_of_the_office_are_a_key_away(hand):
    _page(hand)
    hand.press(Qt.Key.Key_R, ALT)
    assert hand.window.page_id == "registers"
    assert hand.window.front.kind == "instruments"
