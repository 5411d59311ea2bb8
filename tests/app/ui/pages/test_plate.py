from __future__ import annotations

from itertools import pairwise

from PySide6.QtCore import Qt

from app.ui.dialogs.frame import open_dialog


def _field(hand, name):
    form = hand.window.page("plate").form
    return next(field for key, field in form.by_key.items() if key[1] == name)


def _cts(hand):
    return hand.job.positions[0].cts


def test_a_field_is_kept_when_enter_leaves_it(hand):
    hand.control(Qt.Key.Key_L)
    hand.answer(_field(hand, "maker_text"), "not stated here")
    assert _cts(hand)[0].maker_text == "not stated here"


def test_a_field_is_kept_when_another_takes_the_focus(hand):
    hand.control(Qt.Key.Key_L)
    hand.type("S2 bus")
    hand.press(Qt.Key.Key_Tab)
    assert hand.job.positions[0].name_text == "S2 bus"


def test_a_class_that_is_none_stays_in_its_field_with_the_reason_while_it_is_typed(hand):
    hand.control(Qt.Key.Key_L)
    field = _field(hand, "class_text")
    field.line.setFocus()
    hand.type("5P20 FS5")
    assert (field.line.text(), field.reason) == (
        "5P20 FS5",
        "The instrument security factor FS does not belong to class 5P.",
    )
    assert _cts(hand)[0].cores[0].class_text.startswith("PX")


def test_a_refused_text_is_here_again_when_its_plate_is(hand):
    hand.control(Qt.Key.Key_L)
    page = hand.window.page("plate")
    first, second = (ct.ct_id for ct in _cts(hand)[:2])
    hand.answer(_field(hand, "i_primary_rated_a"), "6oo")
    page.show_ct(second)
    assert _field(hand, "i_primary_rated_a").line.text() == "600"
    page.show_ct(first)
    field = _field(hand, "i_primary_rated_a")
    assert field.line.text() == "6oo"
    assert field.reason
    assert _cts(hand)[0].cores[0].taps[0].i_primary_rated_a == 600.0


def test_a_plate_is_copied_to_its_sisters_but_for_the_serial_number(hand):
    hand.control(Qt.Key.Key_L)
    hand.answer(_field(hand, "serial_text"), "K-1")
    hand.answer(_field(hand, "r_winding_75degc_plate_ohm"), "2.4")
    hand.press(Qt.Key.Key_S, Qt.KeyboardModifier.AltModifier)
    assert [ct.serial_text for ct in _cts(hand)] == ["K-1", "", ""]
    assert {ct.cores[0].r_winding_75degc_plate_ohm for ct in _cts(hand)} == {2.4}
    assert "L2, L3" in hand.window.bar.sentence


def test_undo_takes_a_plate_back(hand):
    hand.control(Qt.Key.Key_L)
    hand.answer(_field(hand, "maker_text"), "first")
    hand.control(Qt.Key.Key_Z)
    assert _cts(hand)[0].maker_text == ""
    assert _field(hand, "maker_text").line.text() == ""


def test_quick_fields_do_not_undo_each_other(hand):
    hand.control(Qt.Key.Key_L)
    page = hand.window.page("plate")
    for name, words in (("maker_text", "m"), ("type_text", "t"), ("year_text", "2024")):
        field = _field(hand, name)
        field.line.setText(words)
        page.form.kept.emit(page.form.key_of(field.line), words)
    hand.rest()
    ct = _cts(hand)[0]
    assert (ct.maker_text, ct.type_text, ct.year_text) == ("m", "t", "2024")


def test_a_tapped_winding_gives_every_pair_of_leads(hand):
    hand.control(Qt.Key.Key_L)
    hand.press(Qt.Key.Key_T, Qt.KeyboardModifier.AltModifier)
    hand.enter("40 20 100 80", "", "")
    taps = _cts(hand)[0].cores[0].taps
    assert len(taps) == 10
    assert (taps[-1].terminals_text, taps[3].i_primary_rated_a) == ("X4-X5", 1200.0)


def test_a_tapped_winding_is_sketched_while_its_turns_are_typed(hand):
    hand.control(Qt.Key.Key_L)
    hand.press(Qt.Key.Key_T, Qt.KeyboardModifier.AltModifier)
    dialog = open_dialog()
    assert not dialog.sketch.isVisible()
    hand.type("40 20 100 80")
    assert dialog.sketch.leads() == ["X1", "X2", "X3", "X4", "X5"]
    gaps = [right - left for left, right in pairwise(dialog.sketch.places())]
    assert sorted(gaps) == [gaps[1], gaps[0], gaps[3], gaps[2]]
    assert dialog.sketch.accessibleDescription() == "X1–X2 40, X2–X3 20, X3–X4 100, X4–X5 80"
    hand.type(" x")
    assert not dialog.sketch.isVisible()
    dialog.reject()


def test_the_keys_reach_the_plate_of_another_phase_through_the_sets(hand):
    hand.control(Qt.Key.Key_L)
    hand.press(Qt.Key.Key_F8)
    hand.press(Qt.Key.Key_Up)
    hand.press(Qt.Key.Key_Right)
    hand.press(Qt.Key.Key_Return)
    assert hand.window.page("plate").ct_id == _cts(hand)[1].ct_id


def test_a_key_plans_the_tests_of_the_set_by_class_and_duty(hand):
    hand.control(Qt.Key.Key_L)
    assert _field(hand, "visual").line.text() == "no"
    hand.press(Qt.Key.Key_P, Qt.KeyboardModifier.AltModifier)
    assert {ct.cores[0].procedures[0] for ct in _cts(hand)} == {"visual"}
    assert _field(hand, "visual").line.text() == "yes"
    assert hand.window.bar.sentence == "Tests are planned by class and duty for 3 cores."


def test_a_field_of_the_plan_says_why_its_test_stands_there(hand):
    hand.control(Qt.Key.Key_L)
    assert _field(hand, "demagnetising").line.accessibleDescription().startswith("After all direct current")
