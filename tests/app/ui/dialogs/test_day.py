"""The order of tests of one core, by keys alone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.ui.dialogs.frame import open_dialog


@pytest.fixture
def day(hand):
    hand.press(Qt.Key.Key_F12, Qt.KeyboardModifier.ShiftModifier)
    dialog = open_dialog()
    yield dialog
    while open_dialog() is not None:
        open_dialog().reject()
        hand.rest()


def _plan(hand) -> tuple[str, ...]:
    return hand.job.positions[0].cts[0].cores[0].procedures


def _states(day) -> list[str]:
    return [day.model.index(row, 2).data() for row in range(day.model.rowCount())]


def test_the_day_lists_the_plan_with_the_next_test_in_hand(hand, day):
    assert [line.step.procedure_id for line in day.model.lines] == [
        "insulation", "resistance", "ratio", "excitation",
    ]  # fmt: skip
    assert _states(day) == ["next", "not tested", "not tested", "not tested"]
    assert hand.focus is day.table
    assert day.why.text().startswith("The cheapest proof")


def test_control_and_an_arrow_move_a_test_and_undo_moves_it_back(hand, day):
    hand.control(Qt.Key.Key_Down)
    assert _plan(hand) == ("resistance", "insulation", "ratio", "excitation")
    assert day.table.currentIndex().row() == 1
    day.reject()
    hand.rest()
    hand.control(Qt.Key.Key_Z)
    assert _plan(hand) == ()


def test_a_test_moved_beyond_the_end_stays_where_it_is(hand, day):
    hand.control(Qt.Key.Key_Up)

    assert _plan(hand) == ()


def test_delete_leaves_a_test_out_with_a_reason_and_takes_it_up_again(hand, day):
    hand.press(Qt.Key.Key_Delete)
    hand.press(Qt.Key.Key_2)
    assert _states(day)[:2] == ["left out: the outage does not allow it", "next"]
    # Without a window manager nobody activates the dialog behind the question that closed.
    day.activateWindow()
    day.table.setFocus()
    QApplication.processEvents()
    hand.press(Qt.Key.Key_Delete)
    assert _states(day)[0] == "next"


def test_enter_goes_to_the_test_in_hand(hand, day):
    hand.press(Qt.Key.Key_Down)
    hand.press(Qt.Key.Key_Return)

    assert open_dialog() is None
    assert hand.window.place[1] == "resistance"
