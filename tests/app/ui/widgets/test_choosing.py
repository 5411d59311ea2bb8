from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app.ui.shell.fields import FormField
from app.ui.widgets.framedfield import FramedField
from ctcore.quantities import Choice, quantity

ANSWERS = [("p", "protection"), ("m", "measuring"), ("x", "mixed use"), ("n", "not stated")]
CLASSES = [("a", "0.2"), ("b", "0.5"), ("c", "5P20"), ("d", "PX")]


class _Clock:
    now_s = 0.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def clock() -> _Clock:
    return _Clock()


@pytest.fixture
def open_field(qtbot, clock):
    def open_(choices) -> FormField:
        field = FormField("Use", choices=choices)
        field.line._choosing._now_s = clock
        qtbot.addWidget(field)
        with qtbot.waitExposed(field):
            field.show()
        field.line.setFocus()
        return field

    return open_


def test_a_first_letter_chooses_the_one_answer_that_begins_with_it(qtbot, open_field):
    field = open_field(ANSWERS)
    qtbot.keyClicks(field.line, "n")
    assert field.value() == "n"
    with qtbot.waitSignal(field.kept) as kept:
        qtbot.keyClick(field.line, Qt.Key.Key_Return)
    assert kept.args == ["n"]


def test_the_same_letter_again_goes_round_the_answers_that_begin_with_it(qtbot, open_field):
    field = open_field(ANSWERS)
    seen = []
    for _ in range(3):
        qtbot.keyClicks(field.line, "m")
        seen.append(field.value())
    assert seen == ["m", "x", "m"]


def test_further_letters_and_a_blank_tell_answers_apart(qtbot, open_field):
    field = open_field(ANSWERS)
    qtbot.keyClicks(field.line, "MIXED U")
    assert (field.value(), field.reason) == ("x", "")


def test_letters_after_a_pause_begin_another_word(qtbot, open_field, clock):
    field = open_field(ANSWERS)
    qtbot.keyClicks(field.line, "p")
    clock.now_s = 2.0
    qtbot.keyClicks(field.line, "n")
    assert field.value() == "n"


def test_letters_that_begin_no_answer_are_told_at_the_field_and_change_nothing(qtbot, open_field):
    field = open_field(ANSWERS)
    qtbot.keyClicks(field.line, "px")
    assert field.value() == "p"
    assert field.reason.startswith("No answer begins with “px”")
    assert "protection, measuring, mixed use, not stated" in field.reason


def test_the_first_enter_after_letters_without_an_answer_keeps_nothing(qtbot, open_field):
    field = open_field(ANSWERS)
    qtbot.keyClicks(field.line, "px")
    with qtbot.assertNotEmitted(field.kept):
        qtbot.keyClick(field.line, Qt.Key.Key_Return)
    assert field.reason
    with qtbot.waitSignal(field.kept):
        qtbot.keyClick(field.line, Qt.Key.Key_Return)


def test_backspace_lets_go_of_letters_without_an_answer(qtbot, open_field):
    field = open_field(ANSWERS)
    qtbot.keyClicks(field.line, "q")
    qtbot.keyClick(field.line, Qt.Key.Key_Backspace)
    assert field.reason == ""


def test_a_number_chooses_by_place_where_no_answer_begins_with_a_digit(qtbot, open_field):
    field = open_field(ANSWERS)
    qtbot.keyClicks(field.line, "3")
    assert field.value() == "x"
    qtbot.keyClicks(field.line, "9")
    assert field.value() == "x"


def test_a_digit_is_a_letter_where_answers_begin_with_digits(qtbot, open_field):
    field = open_field(CLASSES)
    qtbot.keyClicks(field.line, "5")
    assert field.value() == "c"
    qtbot.keyClick(field.line, Qt.Key.Key_Backspace)
    qtbot.keyClicks(field.line, "0.5")
    assert field.value() == "b"


def test_a_choice_of_the_worksheet_takes_letters_and_tells_what_matches_nothing(qtbot):
    field = FramedField("Mode")
    row = quantity("leads")
    choices = (Choice(value="both", words="both ends"), Choice(value="one", words="one end"))
    field.set_content(row, choices, "empty", "", "")
    qtbot.addWidget(field)
    with qtbot.waitExposed(field):
        field.show()
    field.edit.setFocus()
    qtbot.keyClicks(field.edit, "o")
    assert field.edit.entry_text() == "one end"
    with qtbot.waitSignal(field.edit.unmatched) as told:
        qtbot.keyClicks(field.edit, "z")
    assert "No answer begins with “oz”" in told.args[0]
    with qtbot.assertNotEmitted(field.accepted):
        qtbot.keyClick(field.edit, Qt.Key.Key_Enter)
    with qtbot.waitSignal(field.accepted) as kept:
        qtbot.keyClick(field.edit, Qt.Key.Key_Enter)
    assert kept.args == ["one end"]


def test_a_number_chooses_in_the_worksheet_even_where_answers_begin_with_digits(qtbot):
    field = FramedField("Fed at")
    field.set_content(
        quantity("tap_id"),
        (Choice(value="f", words="1S1-1S2"), Choice(value="h", words="1S1-1S3")),
        "empty",
        "",
        "",
    )
    qtbot.addWidget(field)
    with qtbot.waitExposed(field):
        field.show()
    field.edit.setFocus()
    qtbot.keyClicks(field.edit, "2")
    assert field.edit.entry_text() == "h"
