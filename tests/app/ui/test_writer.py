from __future__ import annotations

import threading

import pytest
from PySide6.QtCore import QThread

from app.ui.writer import Writer


@pytest.fixture
def writer(qapp):
    made = Writer()
    yield made
    made.close()


def test_a_result_comes_back_on_the_thread_of_the_window(writer, qtbot):
    came = []
    writer.submit(
        lambda value: value + 1, 41, done=lambda result: came.append((result, QThread.currentThread()))
    )
    qtbot.waitUntil(lambda: bool(came))
    assert came == [(42, QThread.currentThread())]


def test_verbs_run_in_the_order_they_were_asked_for(writer, qtbot):
    gate, ran = threading.Event(), []
    writer.submit(gate.wait, 5)
    writer.submit(ran.append, 1)
    writer.submit(ran.append, 2)
    gate.set()
    qtbot.waitUntil(lambda: not writer.busy)
    assert ran == [1, 2]


def test_a_problem_goes_to_the_one_who_asked(writer, qtbot):
    came = []
    writer.submit(lambda: 1 // 0, failed=came.append)
    qtbot.waitUntil(lambda: bool(came))
    assert isinstance(came[0], ZeroDivisionError)


def test_a_problem_nobody_takes_is_told_by_signal(writer, qtbot):
    with qtbot.waitSignal(writer.failed) as told:
        writer.submit(lambda: 1 // 0)
    assert isinstance(told.args[0], ZeroDivisionError)


def test_a_verb_of_two_seconds_is_told_as_saving_and_then_not(writer, qtbot):
    gate = threading.Event()
    with qtbot.waitSignal(writer.saving) as slow:
        writer.submit(gate.wait, 5)
    assert slow.args == [True]
    with qtbot.waitSignal(writer.saving) as over:
        gate.set()
    assert over.args == [False]


def test_a_quick_verb_is_not_told_as_saving(writer, qtbot):
    told = []
    writer.saving.connect(told.append)
    writer.submit(lambda: None)
    qtbot.waitUntil(lambda: not writer.busy)
    assert told == []


def test_what_was_asked_for_is_finished_before_closing(qapp):
    ran: list[int] = []
    writer = Writer()
    writer.submit(ran.append, 1)
    writer.close()
    assert ran == [1]
