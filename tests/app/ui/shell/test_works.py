"""Long work in the window: told in a line, stopped by a key, the window usable meanwhile."""

from __future__ import annotations

import threading

import pytest
from PySide6.QtCore import Qt

from app.progress import each
from app.ui.dialogs.frame import DialogFrame, open_dialog
from app.ui.dialogs.papers import DoneDialog
from app.ui.shell import works
from tests.app.ui.desk_of_window import OpenHand

_CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def hand(qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr(works, "SHOWN_AFTER_MS", 1)
    made = OpenHand(qtbot, tmp_path)
    made.window.works._timer.setInterval(1)
    yield made
    made.window.works.stop()
    made.close()


@pytest.fixture
def gate():
    """What long work waits for between its first step and its second."""
    made = threading.Event()
    yield made
    made.set()


def waiting(gate):
    def work(*_args):
        steps = each("ab", "page")
        first = next(steps)
        gate.wait(10)
        return first + next(steps)

    return work


def test_it_is_told_and_the_readings_go_on_beside_it(hand, gate):
    came = []
    hand.window.works.behind("sheet", waiting(gate), done=came.append, failed=came.append)
    hand.wait(lambda: hand.window.works._line is not None and hand.window.works.line.isVisible())
    assert hand.window.works.line.words.text == "The sheet is made: page 1 of 2"
    page = hand.window.page("worksheet").page
    hand.window.session.do(lambda desk, job_id: desk.view(job_id) and desk.judge_stale(job_id))
    hand.rest()
    assert (came, page.isVisible()) == ([], True)
    gate.set()
    hand.wait(lambda: came)
    hand.wait(lambda: not hand.window.works.line.isVisible())
    assert came == ["ab"]


def test_its_key_stops_it_in_a_sentence(hand, gate):
    came = []
    hand.window.works.behind("sheet", waiting(gate), done=came.append, failed=came.append)
    hand.wait(lambda: hand.window.works._line is not None and hand.window.works.line.isVisible())
    hand.press(Qt.Key.Key_Period, _CTRL)
    gate.set()
    hand.wait(lambda: came)
    assert came[0].sentence.startswith("Stopped. Nothing of it was written")


def test_a_dialog_steps_aside_and_comes_back_with_the_reason(hand, gate):
    dialog = DialogFrame("Take in", main="Take in", parent=hand.window)
    dialog.open()
    verb = hand.window.works.watched("take_in", waiting(gate), aside=dialog)
    hand.window.session.fetch(verb, done=lambda _found: None, refused=dialog.say)
    hand.wait(lambda: not dialog.isVisible())
    hand.window.works.stop()
    gate.set()
    hand.rest()
    hand.wait(dialog.isVisible)
    assert dialog.trouble.text().startswith("Stopped.")
    dialog.reject()


def test_the_sheet_of_a_job_is_made_beside_the_writer(hand):
    hand.window.deeds.do("preview")
    page = hand.window.front
    hand.wait(lambda: page.sheet is not None)
    assert page.sheet.data.startswith(b"%PDF")


def test_a_window_that_closes_stops_what_is_not_written_yet(hand, gate):
    hand.window.works.behind("sheet", waiting(gate), done=lambda _: None, failed=lambda _: None)
    hand.window.works.behind("sheet", waiting(gate), done=lambda _: None, failed=lambda _: None)
    hand.wait(lambda: hand.window.works._running)
    asked = list(hand.window.works._asked)
    gate.set()
    hand.close()
    assert [running.work.stopped for running in asked] == [True, True]


def test_a_sheet_written_is_one_work_and_stopped_it_leaves_the_earlier_file(hand, gate, monkeypatch):
    path = hand.folder / "sheet.pdf"
    path.write_bytes(b"earlier")
    monkeypatch.setattr("app.report.sheet.render", waiting(gate))
    hand.window.deeds.do("sheet")
    dialog = open_dialog()
    dialog.path_chosen.emit(path)
    hand.wait(lambda: not dialog.isVisible())
    hand.wait(lambda: hand.window.works.line.words.text == "The sheet is made: page 1 of 2")
    hand.press(Qt.Key.Key_Period, _CTRL)
    gate.set()
    hand.wait(dialog.isVisible)
    hand.wait(lambda: dialog.field.reason)
    assert dialog.field.reason.startswith("Stopped. Nothing of it was written")
    assert path.read_bytes() == b"earlier"
    dialog.reject()


def test_a_sheet_written_beside_the_writer_is_told_and_offered(hand):
    hand.window.deeds.do("sheet")
    open_dialog().path_chosen.emit(hand.folder / "new" / "sheet.pdf")
    hand.wait(lambda: isinstance(open_dialog(), DoneDialog))
    assert (hand.folder / "new" / "sheet.pdf").read_bytes().startswith(b"%PDF")
    open_dialog().reject()


def test_field_forms_are_drawn_beside_the_writer_and_kept_in_the_trail(hand):
    hand.window.deeds.do("field_forms")
    open_dialog().path_chosen.emit(hand.folder / "forms.pdf")
    hand.wait(lambda: isinstance(open_dialog(), DoneDialog))
    assert (hand.folder / "forms.pdf").read_bytes().startswith(b"%PDF")
    told = []
    hand.window.session.fetch(lambda desk: desk.trail(hand.job.job_id), done=told.extend)
    hand.rest()
    assert told[-1].to_text.startswith("number ")
    open_dialog().reject()
