from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit

from app.desk import Refusal
from app.desk.view import NotOpened
from app.ui.shell.passphrase import MOST_TRIES, PassphraseField, Tries, TriesBook, strength


class Clock:
    def __init__(self):
        self.now = 100.0

    def __call__(self):
        return self.now


def _wrong():
    raise NotOpened("The passphrase does not fit.")


def test_each_wrong_try_makes_the_next_one_wait_longer():
    tries = Tries(Clock())
    waits = []
    for _ in range(MOST_TRIES - 1):
        tries.note_wrong()
        waits.append(tries.wait_s)
    assert waits == [1, 2, 4, 8, 16, 32, 60, 60, 60]


def test_a_try_is_taken_again_when_the_wait_is_over():
    clock = Clock()
    tries = Tries(clock)
    tries.note_wrong()
    before = tries.why_not_now()
    clock.now += 1.0
    assert before == "Wait 1 s before the next try; 1 of 10 did not open it. Nothing was changed."
    assert tries.why_not_now() == ""


def test_after_ten_wrong_tries_one_is_taken_each_hour():
    clock = Clock()
    tries = Tries(clock)
    for _ in range(MOST_TRIES):
        tries.note_wrong()
    assert tries.why_not_now().startswith("10 tries did not open it. The next one is taken in 60 min.")
    clock.now += 3600
    assert tries.why_not_now() == ""
    tries.note_wrong()
    assert tries.said().startswith("10 tries did not open it. The next one is taken in 60 min.")


def test_the_count_goes_on_in_the_next_run_of_the_program(tmp_path):
    path = tmp_path / "profile" / "tries.json"
    for _ in range(4):
        TriesBook(path).of("t-adder").note_wrong()
    again = TriesBook(path)
    assert (again.of("t-adder").wrong_count, again.of("office").wrong_count) == (4, 0)
    assert 0 < again.of("t-adder").wait_s <= 8
    again.of("t-adder").note_right()
    assert TriesBook(path).of("t-adder").wrong_count == 0


def test_a_clock_that_was_put_back_makes_nobody_wait_for_years():
    tries = Tries(Clock(), wrong_count=3, next_s=1e9)
    assert tries.wait_s == 4


@pytest.mark.parametrize("spoiled", ["", "[]", '{"t-adder": "x"}', '{"t-adder": [1]}'])
def test_a_count_that_cannot_be_read_begins_anew(tmp_path, spoiled):
    path = tmp_path / "tries.json"
    path.write_text(spoiled)
    assert TriesBook(path).of("t-adder").wrong_count == 0


def test_where_nothing_can_be_kept_the_wait_of_this_run_holds(tmp_path):
    (tmp_path / "profile").write_text("a file where the folder should be")
    tries = TriesBook(tmp_path / "profile" / "tries.json").of("t-adder")
    tries.note_wrong()
    assert tries.wait_s == 1


def test_a_right_try_begins_the_count_anew():
    tries = Tries(Clock())
    tries.note_wrong()
    assert tries.guarded(lambda: "signed")() == "signed"
    assert (tries.wrong_count, tries.why_not_now()) == (0, "")


def test_a_wrong_try_is_counted_and_never_says_which_part_was_wrong():
    tries = Tries(Clock())
    with pytest.raises(Refusal) as refused:
        tries.guarded(_wrong)()
    assert tries.wrong_count == 1
    assert "passphrase" not in refused.value.sentence.casefold()
    assert "try 1 of 10" in refused.value.sentence


def test_a_refusal_of_another_kind_is_no_wrong_try():
    tries = Tries(Clock())

    def refuse():
        raise Refusal("Nothing is to be decided.")

    with pytest.raises(Refusal, match="Nothing is to be decided"):
        tries.guarded(refuse)()
    assert tries.wrong_count == 0


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", ""),
        ("four quiet", "Too short: 10 of at least 15 characters"),
        ("aaaaaaaaaaaaaaaaaa", "The passphrase repeats too few characters"),
        ("four quiet words here", "Long enough, 21 characters. It holds only if nobody can guess it"),
    ],
)
def test_the_strength_of_a_passphrase_is_said_plainly(typed, said):
    assert strength(typed).startswith(said)


def test_a_passphrase_is_hidden_until_it_is_asked_for(qtbot):
    field = PassphraseField("Passphrase", new=True)
    qtbot.addWidget(field)
    QTest.keyClicks(field.line, "four quiet")
    hidden = field.line.echoMode()
    field.reveal(True)
    assert (hidden, field.line.echoMode()) == (QLineEdit.EchoMode.Password, QLineEdit.EchoMode.Normal)
    assert field.line.displayText() == "four quiet"
    QTest.keyClick(field.line, Qt.Key.Key_Backspace)
    assert field.line.text() == "four quie"
