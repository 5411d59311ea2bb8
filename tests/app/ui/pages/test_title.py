from __future__ import annotations

from PySide6.QtCore import Qt


def _page(hand):
    hand.control(Qt.Key.Key_B)
    return hand.window.page("title")


def test_enter_goes_through_the_fields_and_keeps_each(hand):
    page = _page(hand)
    hand.enter("J-78", "Bay 4")
    assert (hand.job.header.number_text, hand.job.header.title_text) == ("J-78", "Bay 4")
    assert page.fields["site_text"].line.hasFocus()


def test_a_frequency_that_is_no_number_stays_with_its_reason(hand):
    page = _page(hand)
    hand.answer(page.fields["frequency_rated_hz"], "5o")
    field = page.fields["frequency_rated_hz"]
    assert field.line.text() == "5o"
    assert field.reason
    assert hand.job.frequency_rated_hz == 50.0


def test_a_frequency_that_no_grid_has_is_refused_at_its_field(hand):
    page = _page(hand)
    hand.answer(page.fields["frequency_rated_hz"], "5")
    assert "10 and 400" in page.fields["frequency_rated_hz"].reason


def test_phases_get_other_names_on_every_plate(hand):
    page = _page(hand)
    hand.answer(page.fields["phase_names"], "R Y B")
    assert [ct.phase_text for ct in hand.job.positions[0].cts] == ["R", "Y", "B"]


def test_two_phases_cannot_have_one_name(hand):
    page = _page(hand)
    hand.answer(page.fields["phase_names"], "A A B")
    assert page.fields["phase_names"].reason.startswith("3 names that differ")


def test_a_choice_is_answered_by_its_number(hand):
    page = _page(hand)
    hand.answer(page.fields["decision_rule"], "2")
    assert hand.job.references.decision_rule == "guard_band"


def test_a_job_without_a_number_is_refused(hand):
    page = _page(hand)
    page.fields["number_text"].line.clear()
    page.fields["number_text"].line.setModified(True)
    hand.press(Qt.Key.Key_Return)
    assert "needs a number" in page.fields["number_text"].reason
    assert hand.job.header.number_text == "J-77"
